"""Readings in figures: as many digits as the instrument has, and the sum of a difference as it is read aloud."""

from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from consumables.readable import figure, in_unit
from handover.walkround.levels import FILLS_UP, NOT_A_LEVEL, difference, digits, full, shown
from handover.walkround.models import Reading
from handover.walkround.sheet import InstrumentAsk
from shared.phrasebook import inside, said

TAKEN = {"scale": gettext_noop("weighed")}
TO_TAKE = {"scale": gettext_noop("to weigh")}


@dataclass(frozen=True, slots=True)
class Sum:
    """One line of a difference: words, figure with its sign, and how it is drawn (cut, doubt, sure)."""

    words: str
    figure: str
    look: str = ""


def spoken(ask: InstrumentAsk) -> str:
    """Front is a cylinder only to those who see the drawing."""
    return _("%(name)s cylinder") % {"name": ask.name} if ask.measures == "gas" else ask.name


def is_level(ask: InstrumentAsk) -> bool:
    """Drawn as a stick: it has a top and an empty."""
    return ask.measures not in NOT_A_LEVEL and bool(full(ask))


def fig(value: Decimal, ask: InstrumentAsk) -> str:
    """47.5, 82.0, 15: the digits of the instrument, more only where rounding would lose some."""
    rounded = value.quantize(Decimal(1).scaleb(-digits(ask.resolution)))
    return f"{rounded:f}" if rounded == value else figure(value)


def typed_figure(ask: InstrumentAsk, value: Decimal, distance_unit: str) -> str:
    """What stands in the input: a cylinder's gross mass, an odometer in the branch's unit."""
    if ask.measures == "odometer":
        return str(round(in_unit(value, distance_unit)))
    return fig(value, ask)


def level_of(ask: InstrumentAsk, reading: Reading | None) -> Decimal | None:
    """Where the stick is wet; None when it was not read."""
    if reading is None or reading.value is None:
        return None
    return shown(ask, reading.value, distance_unit=ask.unit).value


def taken_word(ask: InstrumentAsk, reading: Reading | None) -> str:
    """weighed, to weigh, read, not read, not applicable."""
    if reading is None:
        return _(TO_TAKE.get(ask.instrument, gettext_noop("to read")))
    if reading.state == Reading.State.READ:
        return _(TAKEN.get(ask.instrument, gettext_noop("read")))
    return reading.get_state_display()


def sums(ask: InstrumentAsk, out: Decimal, back: Decimal) -> list[Sum]:
    """Left with − came back = less by; − what the instrument cannot tell = counts. The larger figure stands first."""
    by = difference(max(out, back), min(out, back), half_width=ask.half_width)
    first, second = (_("Left with"), _("Came back")) if out >= back else (_("Came back"), _("Left with"))
    return [
        Sum(first, fig(max(out, back), ask)),
        Sum(second, f"− {fig(min(out, back), ask)}"),
        Sum(_("Less by") if out >= back else _("More by"), f"= {fig(by.less_by, ask)}", "cut"),
        Sum(
            _("%(instrument)s can’t tell") % {"instrument": said(ask.instrument).capitalize()},
            f"− {fig(by.cannot_tell, ask)}",
            "doubt",
        ),
        _last(ask, by.counts, is_charged=(back < out) != (ask.measures in FILLS_UP)),
    ]


def _last(ask: InstrumentAsk, counts: Decimal, *, is_charged: bool) -> Sum:
    if not counts:
        return Sum(_("No difference"), "", "cut sure")
    if not is_charged:
        return Sum(_("Nothing counts"), "", "cut sure")
    return Sum(_("Counts"), f"= {fig(counts, ask)} {ask.unit}", "cut sure")


def outcome(ask: InstrumentAsk, lines: list[Sum]) -> str:
    """The last line in few words, for a heading: 31.5 L counts, no difference."""
    last = lines[-1]
    if last.figure:
        return _("%(figure)s counts") % {"figure": last.figure.removeprefix("= ")}
    return inside(last.words)
