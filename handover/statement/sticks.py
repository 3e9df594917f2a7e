"""The lying dip-stick of a line: the two levels it was priced from, drawn from the statement's own inputs."""

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from consumables.dipstick import DipInput, Level, Tick, even_ticks, lying_svg, quarters

LEVEL_PATH = re.compile(r"legs\[(?P<leg>\d+)\]\.(?:fuel\.(?:in|out)_l|gas\[(?P<gas>\d+)\]\.gross_(?:in|out)_kg)")
WIDTH, HEIGHT = 296, 120
FEW_KG = 6


def stick_of(number: int, title: str, sources: Iterable[str], inputs: Mapping[str, Any]) -> str:
    """SVG for the first level among the sources of a line's steps; empty for a line that rests on no level."""
    for source in sources:
        found = LEVEL_PATH.match(source)
        if found:
            dip = _dip_at(number, title, found, inputs["legs"][int(found["leg"])])
            return lying_svg(dip, width=WIDTH, height=HEIGHT) if dip else ""
    return ""


def _dip_at(number: int, title: str, found: re.Match[str], leg: Mapping[str, Any]) -> DipInput | None:
    if found["gas"] is None:
        return _tank(number, title, leg["fuel"])
    return _cylinder(number, title, leg["gas"][int(found["gas"])])


def _tank(number: int, title: str, fuel: Mapping[str, Any]) -> DipInput | None:
    full = Decimal(fuel["tank_l"])
    levels = _levels(fuel["out_l"], fuel["in_l"], fuel["half_width_out_l"], fuel["half_width_in_l"], "L")
    return _dip(number, title, full, "L", levels, quarters(full)) if full else None


def _cylinder(number: int, title: str, cylinder: Mapping[str, Any]) -> DipInput | None:
    """The stick shows the content: gross mass less the tare stamped on it."""
    full, tare = Decimal(cylinder["net_kg"]), Decimal(cylinder["tare_kg"])
    content = (_less(cylinder["gross_out_kg"], tare), _less(cylinder["gross_in_kg"], tare))
    levels = _levels(*content, cylinder["half_width_out_kg"], cylinder["half_width_in_kg"], "kg")
    if not full:
        return None
    major = Decimal(1 if full <= FEW_KG else 2)
    return _dip(number, title, full, "kg", levels, even_ticks(full, "kg", major=major, minor=major / 2))


def _less(gross: str | None, tare: Decimal) -> str | None:
    return None if gross is None else str(Decimal(gross) - tare)


def _levels(
    out: str | None, back: str | None, half_out: str, half_in: str, unit: str
) -> tuple[Level | None, Level | None]:  # fmt: skip
    def level(value: str | None, half: str) -> Level | None:
        return None if value is None else Level(Decimal(value), Decimal(half), f"{value} {unit}")

    return level(out, half_out), level(back, half_in)


def _dip(
    number: int, title: str, full: Decimal, unit: str, levels: tuple[Level | None, Level | None],
    ticks: tuple[tuple[Tick, ...], tuple[Decimal, ...]],
) -> DipInput:  # fmt: skip
    out, back = levels
    left = _("left with %(value)s, plus or minus %(half_width)s")
    came = _("came back with %(value)s, plus or minus %(half_width)s")
    said = ", ".join(
        words % {"value": level.value, "half_width": level.half_width}
        for words, level in ((left, out), (came, back))
        if level
    )
    label = _("%(title)s: %(said)s, of %(full)s %(unit)s") % {
        "title": title, "said": said, "full": full, "unit": unit,
    }  # fmt: skip
    return DipInput(
        key=f"line-{number}", full=full, unit=unit, label=label,
        major=ticks[0], minor=ticks[1], pickup=out, back=back,
    )  # fmt: skip
