"""The demo's layouts: the geometry of each, and what is done at each of its stations.

`layouts/*.json` holds lengths in millimetres as drawn for left-hand traffic. `content/*.json` holds what is done, by
place (filler, gas locker, cab): a layout says which places each of its stations takes in, as vehicles differ in that.
"""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from fleet.demo.topic_texts import load_topic_texts
from fleet.models import CheckItem, Equipment, Fitting, Instrument, Kit, Layout, PhotoView, Station, Topic

HERE = Path(__file__).parent
KINDS = {
    "checks": CheckItem,
    "instruments": Instrument,
    "kits": Kit,
    "equipment": Equipment,
    "topics": Topic,
}
# What the content file says beside the fields of the layout itself.
BESIDE = {"places", "emergency", "mirrored"}
MIRRORED_TURN = {0: 0, 90: 270, 180: 180, 270: 90}


def load_layouts() -> dict[str, Layout]:
    """Both layouts by code, each with its plan, stations and everything that is done there."""
    return {code: _layout(code, own) for code, own in _content("layouts").items()}


def _content(name: str) -> dict[str, Any]:
    content: dict[str, Any] = json.loads((HERE / "content" / f"{name}.json").read_text(encoding="utf-8"))
    return content


def _layout(code: str, own: Mapping[str, Any]) -> Layout:
    drawn: dict[str, Any] = json.loads((HERE / "layouts" / f"{code}.json").read_text(encoding="utf-8"))
    if own["mirrored"]:
        drawn = mirrored(drawn)
    fields = {key: drawn[key] for key in ("length_mm", "width_mm", "axles_mm", "body")}
    fields |= {key: value for key, value in own.items() if key not in BESIDE}
    layout, _ = Layout.objects.update_or_create(code=code, defaults=fields)
    layout.fittings.all().delete()
    Fitting.objects.bulk_create(Fitting(layout=layout, **fitting) for fitting in drawn["fittings"])
    for station in drawn["stations"]:
        number = station["number"]
        place, _ = Station.objects.update_or_create(layout=layout, number=number, defaults=station)
        _fill(place, own)
        _photograph(place, is_mirrored=own["mirrored"])
    load_topic_texts(layout, emergency=own["emergency"])
    return layout


def mirrored(drawn: Mapping[str, Any]) -> dict[str, Any]:
    """The same build for right-hand traffic: what was kerb side is kerb side again, on the other side."""
    fittings = [
        fitting | {"x_mm": -fitting["x_mm"] - fitting["w_mm"], "turn": MIRRORED_TURN[fitting["turn"]]}
        for fitting in drawn["fittings"]
    ]
    stations = [
        station | {"x_mm": -station["x_mm"], "way": [[-x, y] for x, y in station["way"]]}
        for station in drawn["stations"]
    ]
    return {**drawn, "fittings": fittings, "stations": stations}


def _fill(station: Station, own: Mapping[str, Any]) -> None:
    words = _words(station.layout, own["emergency"])
    for kind, model in KINDS.items():
        rows = _content(kind)
        here = [row for place in own["places"][str(station.number)] for row in rows.get(place, [])]
        for order, row in enumerate(here):
            if row.get("only", station.layout.code) == station.layout.code:
                _keep(model, station, _fields(row, words) | {"order": order})


def _photograph(station: Station, *, is_mirrored: bool) -> None:
    """The views of a station: names by place would not do, as where one stands is the layout's own."""
    side = -1 if is_mirrored else 1
    for order, row in enumerate(_content("views")[station.layout.code].get(str(station.number), [])):
        fields = {key: value for key, value in row.items() if not key.endswith("_mm")}
        for end in ("eye", "aim"):
            x, y = row[f"{end}_mm"]
            fields |= {f"{end}_x_mm": side * x, f"{end}_y_mm": y}
        _keep(PhotoView, station, fields | {"order": order})


def _keep(model: Any, station: Station, fields: dict[str, Any]) -> None:
    # Found by its code and updated in place: answers may already hang on it.
    model.objects.update_or_create(station=station, code=fields.pop("code"), defaults=fields)


def _fields(row: Mapping[str, Any], words: Mapping[str, str]) -> dict[str, Any]:
    fields = {key: value for key, value in row.items() if key != "only"}
    if "price" in fields:
        fields["price"] = fields["price"][words["currency"]]
    return {key: value.format(**words) if key in {"text", "hint"} else value for key, value in fields.items()}


def _words(layout: Layout, emergency: str) -> dict[str, str]:
    return {
        "height": _metres(layout.height_mm),
        "length": _metres(layout.length_mm),
        "width": _metres(layout.width_mm),
        "max_mass": f"{layout.max_mass_kg:,} kg".replace(",", "\N{NARROW NO-BREAK SPACE}"),
        "belted_seats": str(layout.belted_seats),
        "currency": layout.currency,
        "emergency": emergency,
    }


def _metres(millimetres: int) -> str:
    return f"{millimetres // 1000}.{millimetres % 1000 // 10:02} m"
