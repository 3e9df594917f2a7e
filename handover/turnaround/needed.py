"""What a return leaves to do: out of the sheet, the answers and the marks, to a list of jobs. No database here."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from uuid import UUID

from consumables.tank import TankCurve, straight_line
from handover.turnaround.models import TurnaroundJob
from handover.walkround.answers import Answers
from handover.walkround.models import Mark, Reading
from handover.walkround.sheet import InstrumentAsk, SheetData

Kind = TurnaroundJob.Kind
TENTH = Decimal("0.1")
# Which readings are put right, and whether the tank is filled up or emptied.
FILLED = {
    "fuel": Kind.REFUEL,
    "exhaust_fluid": Kind.EXHAUST_FLUID,
    "fresh_water": Kind.FRESH_WATER,
    "gas": Kind.GAS,
}
EMPTIED = {"waste_water": Kind.WASTE_WATER, "cassette": Kind.CASSETTE}
BY_CURVE = frozenset({"fuel", "exhaust_fluid"})


@dataclass(frozen=True, slots=True)
class Needed:
    """A job to be made; amount is about how much, in unit, None where nobody can tell."""

    kind: Kind
    name: str
    subject: UUID | None = None
    amount: Decimal | None = None
    unit: str = ""


def needed(sheet: SheetData, answers: Answers, *, marks: list[Mark]) -> list[Needed]:
    """marks: those found on the return, and known ones found worse."""
    return [
        *_levels(sheet, answers),
        *_kits(sheet, answers),
        *_equipment(sheet, answers),
        *_checks(sheet, answers),
        *(Needed(Kind.REPAIR, f"Mark {mark.number}, {mark.place}", mark.pk) for mark in marks),
        Needed(Kind.CLEAN, "Inside"),
        Needed(Kind.CLEAN, "Outside"),
    ]


def _levels(sheet: SheetData, answers: Answers) -> Iterator[Needed]:
    for _station, ask in sheet.instruments():
        if ask.at == "pickup":
            continue
        if job := _level(ask, answers.readings.get(ask.id)):
            yield job


def _level(ask: InstrumentAsk, reading: Reading | None) -> Needed | None:
    """Nothing where it is known to be full (or empty) as far as the instrument tells; unread is to be looked at."""
    value = reading.value if reading else None
    if ask.measures in FILLED:
        return _wanting(FILLED[ask.measures], ask, _missing(ask, value))
    if ask.measures in EMPTIED:
        return _wanting(EMPTIED[ask.measures], ask, value)
    if ask.measures == "house_battery":
        # A battery is on charge at every turnaround: common practice, no source.
        missing = 100 - value if value is not None and ask.unit == "%" else None
        return _wanting(Kind.BATTERY, ask, missing)
    return None


def _missing(ask: InstrumentAsk, value: Decimal | None) -> Decimal | None:
    """To full, in litres by the tank's curve, or in kg of gas."""
    if value is None:
        return None
    if ask.measures == "gas":
        return ask.tare_kg + ask.net_kg - value if ask.tare_kg is not None and ask.net_kg is not None else None
    if not ask.capacity:
        return None
    if ask.measures not in BY_CURVE:
        return ask.capacity - value
    curve = TankCurve(ask.curve) if ask.curve else straight_line(ask.capacity)
    return curve.litres_at(Decimal(1)) - curve.litres_at(value / ask.capacity)


def _wanting(kind: Kind, ask: InstrumentAsk, amount: Decimal | None) -> Needed | None:
    if amount is not None and amount <= ask.half_width:
        return None
    about = amount.quantize(TENTH, ROUND_HALF_UP) if amount is not None else None
    return Needed(kind, ask.name, ask.id, about, ask.unit if about is not None else "")


def _kits(sheet: SheetData, answers: Answers) -> Iterator[Needed]:
    for _station, kit in sheet.kits():
        seal = answers.seals.get(kit.id)
        if seal is None or seal.state != "whole":
            used = ", ".join(seal.used) if seal else ""
            yield Needed(Kind.KIT, f"{kit.name}: {used}" if used else kit.name, kit.id)


def _equipment(sheet: SheetData, answers: Answers) -> Iterator[Needed]:
    for _station, item in sheet.counts():
        counted = answers.counts.get(item.id)
        present = counted.present if counted else None
        if present is None:
            yield Needed(Kind.EQUIPMENT, item.name, item.id)
        elif present < item.quantity:
            yield Needed(Kind.EQUIPMENT, item.name, item.id, Decimal(item.quantity - present))


def _checks(sheet: SheetData, answers: Answers) -> Iterator[Needed]:
    for station in sheet.stations:
        for check in station.checks:
            answer = answers.checks.get(check.id)
            if answer is not None and answer.word == "bad":
                yield Needed(Kind.CHECK, f"{check.text}: {answer.note or check.bad}"[:160], check.id)
