"""How the unit comes back: what it left with, drawn; what the Extras pay; what is left to do. As frozen at pickup."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from consumables.dipstick import DipInput, Level, curve_quarters, lying_svg, quarters
from handover.rental.covers import covers_words
from handover.rental.models import Rental
from handover.walkround.models import Reading, WalkRound
from handover.walkround.page.figures import fig
from handover.walkround.sheet import InstrumentAsk, SheetData
from shared.phrasebook import said

PHONE = {"width": 350, "height": 108}


@dataclass(frozen=True, slots=True)
class BringLevel:
    name: str
    words: str
    stick: SafeString


@dataclass(frozen=True, slots=True)
class BringBack:
    """`prepaid` are sentences of what an Extra pays; `todo` what is done before the return."""

    levels: list[BringLevel]
    prepaid: list[str]
    todo: list[str]


def bring_back(rental: Rental, pickup: WalkRound | None) -> BringBack | None:
    """None before the pickup is signed. One query, for the readings."""
    if pickup is None or rental.frozen is None:
        return None
    sheet, rules = pickup.sheet.data, rental.frozen["rules"]
    return BringBack(
        levels=list(_levels(pickup, sheet, rules)),
        prepaid=list(_prepaid(rental.frozen)),
        todo=list(_todo(sheet, rules)),
    )


def _levels(pickup: WalkRound, sheet: SheetData, rules: Mapping[str, Any]) -> Iterator[BringLevel]:
    rows = Reading.objects.filter(walk=pickup, state=Reading.State.READ).order_by("at", "id")
    readings = {row.item_id: row for row in rows}
    full = rules.get("fuel", {}).get("policy") == "full_to_full"
    for _station, ask in sheet.instruments():
        reading = readings.get(ask.id)
        if ask.measures == "fuel" and ask.capacity and reading is not None and reading.value is not None:
            yield _level(ask, ask.capacity, reading, ask.capacity if full else reading.value)


def _level(ask: InstrumentAsk, capacity: Decimal, reading: Reading, target: Decimal) -> BringLevel:
    flag = f"{fig(target, ask)} {ask.unit}"
    name = said(ask.name)
    of = {"name": name, "value": flag, "full": f"{fig(capacity, ask)} {ask.unit}"}
    words = _("full") if target == capacity else _("up to the %(value)s mark") % of
    between = ask.steps // 4 - 1 if ask.steps % 4 == 0 else 0
    major, minor = (
        curve_quarters(ask.curve, between=between) if ask.curve else quarters(capacity, between=between)
    )  # fmt: skip
    half_width = Decimal(0) if target == capacity else reading.half_width
    dip = DipInput(
        key=f"back-{ask.id}", full=capacity, unit=ask.unit, label=_("%(name)s: bring back %(value)s of %(full)s") % of,
        major=major, minor=minor, pickup=Level(target, half_width, flag),
    )  # fmt: skip
    return BringLevel(name, words, mark_safe(lying_svg(dip, **PHONE)))  # noqa: S308 - the drawing escapes its words


def _prepaid(frozen: Mapping[str, Any]) -> Iterator[str]:
    """Fuel in the words that matter at the pump; what else is covered as it was sold."""
    for extra in frozen["extras"]:
        litres = extra["covers"].get("limits", {}).get("fuel_litres")
        if litres is not None:
            yield _(
                "%(litres)s prepaid. You may bring it back %(litres)s lower and owe nothing for fuel."
            ) % {"litres": f"{litres}\u00a0L"}  # fmt: skip
        elif words := covers_words(extra["covers"]):
            yield _("%(extra)s pays: %(words)s.") % {"extra": extra["name"], "words": words}


def _todo(sheet: SheetData, rules: Mapping[str, Any]) -> Iterator[str]:
    waste = rules.get("waste") or {}
    if waste.get("grey_fee"):
        yield _("Waste water empty")
    if waste.get("toilet_fee"):
        yield _("Toilet cassette empty and rinsed")
    for _station, kit in sheet.kits():
        if kit.sealed:
            yield _("%(kit)s unopened, or say why") % {"kit": said(kit.name)}
