"""Dip-sticks of a station: how it left and how it came back on one scale, drawn and said."""

from dataclasses import replace
from decimal import Decimal

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from consumables.dipstick import DipInput, Level, Tick, curve_quarters, even_ticks, lying_svg, quarters, upright_svg
from handover.walkround.levels import FILLS_UP, full
from handover.walkround.models import Reading
from handover.walkround.page.figures import fig, level_of, spoken
from handover.walkround.sheet import InstrumentAsk

MOST_MAJOR = 8
ROUND_FIGURES = (1, 2, 5, 10, 20, 25, 50)
ALONE = 366


def pickup_stick(ask: InstrumentAsk, now: Reading | None, last: Reading | None, *, can_move: bool) -> SafeString:
    """Upright, with how it leaves; while nothing is read, a dotted line where it was last."""
    dip = replace(_dip(ask), pickup=_level(ask, now), ghost=level_of(ask, last), label=_pickup_label(ask, now, last))
    return _drawn(upright_svg(replace(dip, moves="pickup") if can_move else dip))


def return_stick(ask: InstrumentAsk, out: Reading | None, back: Reading | None, *, can_move: bool) -> SafeString:
    """Upright and alone: how it left on the left side, how it came back on the right."""
    dip = replace(_dip(ask), pickup=_level(ask, out), back=_level(ask, back), label=_return_label(ask, out, back))
    return _drawn(upright_svg(replace(dip, moves="back") if can_move else dip, height=ALONE))


def lying_stick(ask: InstrumentAsk, out: Reading | None, back: Reading | None, *, width: int = 334) -> SafeString:
    """Beside the large one: the same two flags above and below, set by its stepper."""
    left, came = _level(ask, out, unit=f" {ask.unit}"), _level(ask, back, unit=f" {ask.unit}")
    dip = replace(_dip(ask, unit=ask.unit), pickup=left, back=came, label=_return_label(ask, out, back))
    return _drawn(lying_svg(dip, width=width))


def _drawn(svg: str) -> SafeString:
    """The drawing escapes every word it is given."""
    return mark_safe(svg)  # noqa: S308


def _dip(ask: InstrumentAsk, *, unit: str = "") -> DipInput:
    top = full(ask) or Decimal(1)
    major, minor = _graduations(ask, top, unit)
    return DipInput(
        key=str(ask.id),
        full=top,
        unit=ask.unit,
        label=spoken(ask),
        major=major,
        minor=minor,
        counts_when="more" if ask.measures in FILLS_UP else "less",
        input_id=f"input-{ask.id}",
        offset=ask.tare_kg or Decimal(0),
        unread=_("not read yet"),
    )


def _graduations(ask: InstrumentAsk, top: Decimal, unit: str) -> tuple[tuple[Tick, ...], tuple[Decimal, ...]]:
    """Quarters for a fuel gauge, by the curve that was frozen if any; else a number for every few steps."""
    if ask.measures == "fuel" and ask.steps % 4 == 0:
        between = ask.steps // 4 - 1
        return curve_quarters(ask.curve, between=between) if ask.curve else quarters(top, between=between)
    steps = max(ask.steps, 1)
    few = _steps_of_a_major(steps)
    count = steps // few
    major = top / count
    minor = major / few if 1 < few <= 3 else major / 2
    return even_ticks(top, unit, major=major, minor=minor, label_every=2 if count > 4 and count % 2 == 0 else 1)


def _steps_of_a_major(steps: int) -> int:
    """1, 2, 5 or another round figure, so that at most eight are numbered; any divisor where none fits."""
    fits: list[int] = [n for n in (*ROUND_FIGURES, *range(1, steps + 1)) if steps % n == 0 and steps // n <= MOST_MAJOR]
    return fits[0]


def _level(ask: InstrumentAsk, reading: Reading | None, *, unit: str = "") -> Level | None:
    value = level_of(ask, reading)
    if value is None or reading is None:
        return None
    return Level(value, reading.half_width, f"{fig(value, ask)}{unit}")


def _pickup_label(ask: InstrumentAsk, now: Reading | None, last: Reading | None) -> str:
    """Front cylinder: 5.8 kg, plus or minus 0.1, of 6 kg."""
    of = _("of %(value)s %(unit)s") % {"value": fig(full(ask) or Decimal(0), ask), "unit": ask.unit}
    if now is not None:
        return f"{spoken(ask)}: {_said(ask, now)}, {of}"
    before = level_of(ask, last)
    was = (
        ""
        if before is None
        else _(". Last return %(before)s %(unit)s") % {"before": fig(before, ask), "unit": ask.unit}
    )
    return _("%(ask)s: not read yet%(was)s, %(of)s") % {"ask": spoken(ask), "was": was, "of": of}


def _return_label(ask: InstrumentAsk, out: Reading | None, back: Reading | None) -> str:
    left, came = _said(ask, out), _said(ask, back) if back else _("not read yet")
    return _("%(ask)s: left with %(left)s, came back with %(came)s") % {"ask": spoken(ask), "left": left, "came": came}


def _said(ask: InstrumentAsk, reading: Reading | None) -> str:
    value = level_of(ask, reading)
    if value is None or reading is None:
        return reading.get_state_display() if reading else _("nothing read")
    doubt = (
        _(", plus or minus %(half_width)s") % {"half_width": fig(reading.half_width, ask)} if reading.half_width else ""
    )
    return f"{fig(value, ask)} {ask.unit}{doubt}"
