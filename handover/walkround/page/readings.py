"""Readings of a station: sticks with their stepper, and numbers that have no stick."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from consumables.readable import figure
from handover.walkround.combined import expanded
from handover.walkround.levels import full
from handover.walkround.models import Answer, Reading
from handover.walkround.page.figures import (
    TAKEN,
    Sum,
    fig,
    is_level,
    level_of,
    outcome,
    spoken,
    sums,
    taken_word,
    typed_figure,
)
from handover.walkround.page.rows import before_name
from handover.walkround.page.sticks import lying_stick, pickup_stick, return_stick
from handover.walkround.page.trouble import Trouble
from handover.walkround.queries import Seen
from handover.walkround.sheet import InstrumentAsk, StationSheet
from handover.walkround.stopping import least_tread, most_gross
from shared.dates import day_text
from shared.phrasebook import said


@dataclass(frozen=True, slots=True)
class Stepper:
    """The typed value: as it stands, as it is offered from before, and the stepping of the instrument."""

    value: str
    offered: str
    step: str
    low: str
    high: str
    unit: str


@dataclass(frozen=True, slots=True)
class Bound:
    """What a tablet without a network holds a unit by: a reading under or over a figure, in the instrument's unit."""

    under: str
    over: str
    sentence: str


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """`look`: upright (pickup), large (return), lying (return, beside the large one) or number."""

    ask: InstrumentAsk
    look: str
    answer: Reading | None
    before: Reading | None
    stick: SafeString | str
    stepper: Stepper
    lines: list[Sum]
    calc: str
    result: str
    offered: str
    left_words: str
    word: str
    earlier: Answer | None
    earlier_words: str
    trouble: Trouble | None
    # Of the litres between pickup and return, give or take by the book; None for what is no tank, and at a pickup.
    known_to: Decimal | None = None
    bound: Bound | None = None

    @property
    def anchor(self) -> str:
        return f"reading-{self.ask.id}"

    @property
    def name(self) -> str:
        return spoken(self.ask)

    @property
    def state(self) -> str:
        return self.answer.state if self.answer else ""

    @property
    def read_word(self) -> str:
        """What is said of one that was read: weighed, read."""
        return _(TAKEN.get(self.ask.instrument, gettext_noop("read")))

    @property
    def taken_from(self) -> str:
        """gauge, steps of 0.5 L, ± 1.5 L: what it was read off, and how finely that tells."""
        doubt = f", ±\u00a0{figure(self.ask.half_width)}\u00a0{self.ask.unit}" if self.ask.half_width else ""
        steps = _("steps of %(step)s") % {"step": f"{self.stepper.step}\u00a0{self.stepper.unit}"}
        return f"{said(self.ask.instrument)}, {steps}{doubt}{_curve_of(self.ask)}"

    @property
    def said(self) -> str:
        """11.7 kg, not read."""
        return f"{self.stepper.value} {self.stepper.unit}" if self.state == Reading.State.READ else self.word

    @property
    def in_heading(self) -> str:
        """Beside the name: what came of it, else what it holds and how far it may be off."""
        if self.lines:
            return outcome(self.ask, self.lines)
        return f"{figure(full(self.ask) or 0)} {self.ask.unit}, ± {figure(self.ask.half_width)}{_curve_of(self.ask)}"


def _curve_of(ask: InstrumentAsk) -> str:
    """The tank's curve that the marks of the stick stand by, frozen at pickup; nothing for a straight line."""
    if not ask.curve:
        return ""
    return ", " + _("curve of %(day)s") % {"day": day_text(date.fromisoformat(ask.curve_from))}


def reading_rows(seen: Seen, station: StationSheet, trouble: Trouble | None, *, can_move: bool) -> Iterator[ReadingRow]:
    here = [ask for ask in station.instruments if ask.at in {"both", seen.walk.kind}]
    levels = [ask for ask in here if is_level(ask)]
    for ask in [*levels, *(ask for ask in here if ask not in levels)]:
        yield _row(seen, ask, _look(seen, ask, levels), trouble, can_move=can_move)


def _look(seen: Seen, ask: InstrumentAsk, levels: list[InstrumentAsk]) -> str:
    if ask not in levels:
        return "number"
    if not seen.walk.is_return:
        return "upright"
    return "large" if ask is levels[0] else "lying"


def _row(seen: Seen, ask: InstrumentAsk, look: str, trouble: Trouble | None, *, can_move: bool) -> ReadingRow:
    now, before = seen.now.readings.get(ask.id), seen.before.readings.get(ask.id)
    wrong = trouble if trouble and trouble.item == ask.id else None
    calc, result = _calc(ask, now)
    return ReadingRow(
        ask=ask,
        look=look,
        answer=now,
        before=before,
        stick=_stick(ask, look, now, before, can_move=can_move),
        stepper=_stepper(seen, ask, now, before, wrong),
        lines=_lines(seen, ask, now, before),
        calc=calc,
        result=result,
        offered=_offered(seen, ask, before),
        left_words=_left(ask, before),
        word=taken_word(ask, now),
        earlier=seen.now.earlier.get(ask.id),
        earlier_words=_earlier(seen, ask),
        trouble=wrong,
        known_to=_known_to(seen, ask, now, before),
        bound=None if seen.walk.is_return else _bound(seen, ask),
    )


def _left(ask: InstrumentAsk, before: Reading | None) -> str:
    """How it left: 82.0 L, not read, or that nobody was asked."""
    level = level_of(ask, before)
    if level is not None:
        return f"{fig(level, ask)} {ask.unit}"
    return before.get_state_display() if before else _("nothing read")


def _earlier(seen: Seen, ask: InstrumentAsk) -> str:
    """What stood there before it was read again."""
    earlier = seen.now.earlier.get(ask.id)
    if not isinstance(earlier, Reading):
        return ""
    if earlier.value is None:
        return earlier.get_state_display()
    # Looked at again and found to be so: nothing changed that a person would look for.
    if (latest := seen.now.readings[ask.id]).is_so and latest.value == earlier.value:
        return ""
    return typed_figure(ask, earlier.value, _unit(seen, ask))


def _unit(seen: Seen, ask: InstrumentAsk) -> str:
    return seen.walk.leg.rental.branch.distance_unit if ask.measures == "odometer" else ask.unit


def _stick(
    ask: InstrumentAsk, look: str, now: Reading | None, before: Reading | None, *, can_move: bool
) -> SafeString | str:  # fmt: skip
    match look:
        case "upright":
            return pickup_stick(ask, now, before, can_move=can_move)
        case "large":
            return return_stick(ask, before, now, can_move=can_move)
        case "lying":
            return lying_stick(ask, before, now)
        case _:
            return ""


def _stepper(
    seen: Seen, ask: InstrumentAsk, now: Reading | None, before: Reading | None, trouble: Trouble | None
) -> Stepper:  # fmt: skip
    unit = _unit(seen, ask)
    tare = ask.tare_kg or Decimal(0)
    top = full(ask)

    def typed(reading: Reading | None) -> str:
        return typed_figure(ask, reading.value, unit) if reading and reading.value is not None else ""

    return Stepper(
        value=trouble.typed.get("typed", "") if trouble else typed(now),
        offered=typed(before) or _known_odometer(seen, ask),
        step=figure(ask.resolution),
        low=figure(tare),
        high=figure(tare + top) if top else "",
        unit=unit,
    )


def _known_odometer(seen: Seen, ask: InstrumentAsk) -> str:
    """A unit without a walk-round before has its odometer from the setting-up."""
    if ask.measures != "odometer":
        return ""
    return typed_figure(ask, Decimal(seen.walk.leg.unit.odometer_km), _unit(seen, ask))


def _lines(seen: Seen, ask: InstrumentAsk, now: Reading | None, before: Reading | None) -> list[Sum]:
    out, back = level_of(ask, before), level_of(ask, now)
    if not seen.walk.is_return or not is_level(ask) or out is None or back is None:
        return []
    return sums(ask, out, back)


def _bound(seen: Seen, ask: InstrumentAsk) -> Bound | None:
    country, most = seen.walk.leg.rental.branch.country, seen.walk.sheet.data.max_mass_kg
    if ask.measures == "tread" and (least := least_tread(ask, country=country, max_mass_kg=most)) is not None:
        sentence = _(
            "%(tyre)s: below the legal least, or so near that the gauge cannot tell. A tyre trade comes first."
        )
        return Bound(figure(least), "", sentence % {"tyre": ask.name})
    if ask.measures == "gas" and (gross := most_gross(ask)) is not None:
        sentence = _(
            "%(cylinder)s: more gas than is stamped on it. It stays here, shut, outside: a licensed gas trade."
        )
        return Bound("", figure(gross), sentence % {"cylinder": spoken(ask)})
    return None


def _known_to(seen: Seen, ask: InstrumentAsk, now: Reading | None, before: Reading | None) -> Decimal | None:
    if not seen.walk.is_return or now is None or before is None:
        return None
    return expanded(ask, before.value, now.value)


def _calc(ask: InstrumentAsk, reading: Reading | None) -> tuple[str, str]:
    """11.7 − 5.9, = 5.8 kg. Only a cylinder is weighed with its tare."""
    level = level_of(ask, reading)
    if ask.measures != "gas" or level is None or reading is None or reading.value is None or ask.tare_kg is None:
        return "", ""
    return f"{fig(reading.value, ask)} − {fig(ask.tare_kg, ask)}", f"= {fig(level, ask)} {ask.unit}"


def _offered(seen: Seen, ask: InstrumentAsk, before: Reading | None) -> str:
    """last return 9.0 = 3.1 kg; last return 15 L; last return not read; empty where there is none before."""
    if before is None:
        return ""
    name = before_name(seen).lower()
    if before.value is None:
        return f"{name}: {before.get_state_display()}"
    unit = _unit(seen, ask)
    typed, level = typed_figure(ask, before.value, unit), level_of(ask, before)
    if ask.measures == "gas" and level is not None:
        return f"{name} {typed} = {fig(level, ask)} {ask.unit}"
    return f"{name} {typed} {unit}"
