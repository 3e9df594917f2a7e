"""What a branch has that a rate card should have a price for."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from fleet.models import Branch, Equipment, Instrument, Kit, Unit
from handover.walkround.models import Mark


@dataclass(frozen=True, slots=True)
class Thing:
    """A kit or a piece of equipment; `price` and `currency` as its layout has them, empty for a kit."""

    code: str
    name: str
    layout: str
    price: str = ""
    currency: str = ""


@dataclass(frozen=True, slots=True)
class FleetFacts:
    """`fuels` are the unit numbers by fuel, "" where the layout names none; `marks` are pairs of part and kind."""

    fuels: Mapping[str, Sequence[str]]
    kits: Sequence[Thing]
    equipment: Sequence[Thing]
    measured: frozenset[str]
    marks: Sequence[tuple[str, str]]

    def names(self) -> dict[str, str]:
        """The operator's own names by code."""
        return {thing.code: thing.name for thing in (*self.equipment, *self.kits)}


def fleet_facts(branch: Branch) -> FleetFacts:
    """In five queries."""
    units = list(Unit.objects.filter(branch=branch, retired=False).select_related("layout"))
    layouts = {unit.layout_id for unit in units}
    fuels: dict[str, list[str]] = {}
    for unit in units:
        fuels.setdefault(unit.layout.fuel, []).append(unit.number)
    there: dict[str, Any] = {"station__layout__in": layouts, "retired": False}
    return FleetFacts(
        fuels=fuels,
        kits=_once(Thing(kit.code, kit.name, _layout(kit)) for kit in _of_layouts(Kit, there)),
        equipment=_once(
            Thing(item.code, item.name, _layout(item), str(item.price), item.station.layout.currency)
            for item in _of_layouts(Equipment, there)
        ),
        measured=frozenset(Instrument.objects.filter(**there).values_list("measures", flat=True)),
        marks=sorted(set(Mark.objects.filter(unit__branch=branch).values_list("part", "kind"))),
    )


def _of_layouts(model: Any, there: Mapping[str, object]) -> QuerySet[Any]:
    rows: QuerySet[Any] = model.objects.filter(**there).select_related("station__layout").order_by("name")
    return rows


def _layout(item: Any) -> str:
    return str(item.station.layout)


def _once(things: Iterable[Thing]) -> list[Thing]:
    """Things that several layouts have stand once in each currency."""
    return list({(thing.code, thing.currency): thing for thing in things}.values())
