"""What the demo's units carry to live on, where things are in them, what to do in need, and places for the night."""

import json
from collections.abc import Iterable, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from fleet.models import Branch, CardPlace, EmergencyStep, Kit, Layout, LayoutStores, Load, NightPlace, Unit, UnitStores

CONTENT = Path(__file__).parent / "content" / "living.json"
# One of the panel vans got a panel on its roof, another its older, smaller battery.
DIFFERENT: Mapping[str, Mapping[str, Any]] = {
    "305": {"solar_w": 120},
    "118": {"battery_chemistry": "gel", "battery_ah": Decimal(80)},
}


def load_living(branches: Mapping[str, Branch], layouts: Mapping[str, Layout], units: Mapping[str, Unit]) -> None:
    """All by code and number. A second run puts everything back as it stands here.

    Places are written for left-hand traffic, as the drawings are; a mirrored build has them on the other side.
    """
    content: dict[str, Any] = json.loads(CONTENT.read_text(encoding="utf-8"))
    for code, layout in layouts.items():
        LayoutStores.objects.update_or_create(layout=layout, defaults=content[code]["stores"])
        _replace(Load, {"layout": layout}, content[code]["loads"])
        sign = -1 if content[code]["mirrored"] else 1
        places = [row | {"x_mm": sign * row["x_mm"]} for row in content[code]["places"]]
        _replace(CardPlace, {"layout": layout}, _with_kits(places, layout))
    for code, branch in branches.items():
        _replace(EmergencyStep, {"branch": branch}, content["emergency"][code])
        for place in content["nights"][code]:
            NightPlace.objects.update_or_create(branch=branch, name=place["name"], defaults=place)
    for number, stores in DIFFERENT.items():
        UnitStores.objects.update_or_create(unit=units[number], defaults=dict(stores))


def _replace(model: Any, owner: Mapping[str, Any], rows: Iterable[Mapping[str, Any]]) -> None:
    """Nothing else refers to these rows, so they are made anew."""
    model.objects.filter(**owner).delete()
    model.objects.bulk_create(model(**owner, order=order, **row) for order, row in enumerate(rows, start=1))


def _with_kits(rows: Iterable[Mapping[str, Any]], layout: Layout) -> list[dict[str, Any]]:
    kits = {kit.code: kit for kit in Kit.objects.filter(station__layout=layout)}
    return [{**row, "kit": kits[row["kit"]]} if "kit" in row else dict(row) for row in rows]
