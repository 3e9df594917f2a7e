"""Plays one whole rental through the same actions that the pages use: booked, out, back, priced, signed, kept."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from math import cos, pi, sin
from types import MappingProxyType
from typing import Any

from handover.acting import Act
from handover.briefing.panel import language_of
from handover.demo import pictures
from handover.photo.actions import add_photo
from handover.rental.models import Rental
from handover.settlement.actions import Money, hold_deposit
from handover.statement.actions import draw_up, settle, sign_statement
from handover.statement.models import Statement
from handover.walkround import actions as walk_actions
from handover.walkround.actions.marking import MarkSeen
from handover.walkround.document import shown_digest
from handover.walkround.models import WalkRound
from handover.walkround.sheet import InstrumentAsk, StationSheet
from shared.access.models import Person
from shared.clock import from_wall
from shared.ids import uuid7

# What the instruments showed at pickup and at return, by the instrument's code; others are read as last time.
OUT = {"diesel": "82", "aus32": "15", "gas_front": "11.7", "gas_rear": "9.0", "odometer": "41206 mi"}
# The view that nobody took at the return: the record says so.
NOT_TAKEN_BACK = "lounge"
BACK = {"diesel": "47.5", "aus32": "14", "gas_front": "9.1", "gas_rear": "9.0", "odometer": "42018 mi"}


@dataclass
class Clock:
    """A person's acts, a few seconds apart."""

    now: datetime
    by: Person
    step: timedelta = field(default=timedelta(seconds=9))

    def act(self) -> Act:
        self.now += self.step
        return Act(by=self.by, at=self.now, key=uuid7(), device="demo tablet")


def play(
    rental: Rental, *, host: Person, bay: Person, back_on: date, say: Callable[[str], None]
) -> Statement:  # fmt: skip
    """The rental must be booked. Returns the settled statement; both records are made on the way."""
    zone = rental.branch.zone
    out_at = from_wall(datetime.combine(back_on - timedelta(days=4), time(9, 58)), zone)
    back_at = from_wall(datetime.combine(back_on, time(11, 47)), zone)
    say(f"Pickup of {rental.number}: {rental.customer.name}, unit {_leg(rental).unit.number}")
    _pickup(rental, Clock(out_at, host), OUT)
    say("Return, with the pickup beside it")
    _return(rental, Clock(back_at, bay))
    say("Statement: priced, shown, signed")
    return _settle(rental, Clock(back_at + timedelta(minutes=38), bay))


def send_out(rental: Rental, *, host: Person) -> None:
    """The pickup of a rental that left some days ago."""
    _pickup(rental, Clock(rental.planned_out_at - timedelta(minutes=25), host))


def _leg(rental: Rental) -> Any:
    return rental.legs.select_related("unit__layout", "unit__branch", "rental__branch", "rental__customer").get()


def _pickup(rental: Rental, clock: Clock, readings: Mapping[str, str] = MappingProxyType({})) -> None:
    _hold_deposit(rental, clock)
    walk = walk_actions.start_walk(_leg(rental), kind=WalkRound.Kind.PICKUP, act=clock.act())
    for station in walk.sheet.data.stations:
        _answer_station(walk, station, readings, clock)
        for topic in station.topics:
            # Comfort topics are skipped, as it happens; the record says so.
            if topic.severity != "C":
                outcome = "understood" if topic.severity == "S" else "explained"
                walk_actions.hear_topic(
                    walk, item=topic.id, outcome=outcome, language=language_of(walk).code, seconds=21, act=clock.act()
                )
    _photograph(walk, readings, clock)
    _sign_walk(walk, clock)
    walk_actions.finish(walk, act=clock.act())


def _hold_deposit(rental: Rental, clock: Clock) -> None:
    money = Money(rental.deposit_held, "card", f"AUTH {rental.number[-5:]}")
    lapses = (rental.planned_back_at + timedelta(days=14)).date()
    hold_deposit(rental=rental, money=money, expires_on=lapses, act=clock.act())


def _return(rental: Rental, clock: Clock) -> None:
    walk = walk_actions.start_walk(
        _leg(rental), kind=WalkRound.Kind.RETURN, act=clock.act(), arrived_at=clock.now - clock.step
    )
    for station in walk.sheet.data.stations:
        _answer_station(walk, station, BACK, clock)
    door = next((row for row in walk.sheet.data.stations if "door" in row.name.lower()), walk.sheet.data.stations[0])
    scuff = MarkSeen("scuff", "door", "kerb side door", 110, -walk.sheet.data.width_mm // 2, 2600)
    mark = walk_actions.pin_mark(walk, station=door.number, seen=scuff, act=clock.act())
    photo = pictures.panel(scuffed=True, caption="kerb side door, return")
    add_photo(walk, station=door.number, data=photo, subject=mark.pk, view="kerb side door", act=clock.act())
    _photograph(walk, BACK, clock)
    walk_actions.remark(walk, text="Traffic on the coast road. I called at ten.", act=clock.act())
    walk_actions.finish(walk, act=clock.act())


def _answer_station(walk: WalkRound, station: StationSheet, readings: Mapping[str, str], clock: Clock) -> None:
    for check in station.checks:
        if check.at in {"both", walk.kind}:
            walk_actions.answer_check(walk, item=check.id, word="good", act=clock.act())
    for ask in station.instruments:
        if ask.at in {"both", walk.kind}:
            typed = readings.get(ask.code) or _usual(ask, walk)
            walk_actions.take_reading(walk, item=ask.id, typed=typed, act=clock.act())
    for item in station.counts:
        walk_actions.count(walk, item=item.id, present=item.quantity, act=clock.act())
    for kit in station.kits:
        opened = walk.is_return and kit.sealed
        walk_actions.check_seal(
            walk, item=kit.id, state="broken" if opened else "whole", seal_number=kit.seal_number,
            used=kit.contents[:1] if opened else (), act=clock.act(),
        )  # fmt: skip
    for mark in walk.leg.unit.marks.filter(station_number=station.number, repaired_at=None):
        if mark.found_on_id != walk.pk:
            walk_actions.judge_mark(walk, mark_id=mark.pk, word="as_was", act=clock.act())


def _usual(ask: InstrumentAsk, walk: WalkRound) -> str:
    """Full where the yard fills up, empty where it empties, the odometer as the unit has it."""
    full = {"fuel": ask.capacity, "exhaust_fluid": ask.capacity, "gas": (ask.tare_kg or Decimal(0)) + (ask.net_kg or 0)}
    usual = {"house_battery": "92", "tread": "6.5", "fresh_water": "100", "odometer": f"{walk.leg.unit.odometer_km} km"}
    return str(full.get(ask.measures) or usual.get(ask.measures, "0"))


def _photograph(walk: WalkRound, readings: Mapping[str, str], clock: Clock) -> None:
    """The gauge, the scale and every view of the layout in the same way at both ends; one is left out at the return."""
    _photograph_views(walk, clock)
    word = walk.get_kind_display().lower()
    for station, ask in walk.sheet.data.instruments():
        if ask.measures == "fuel" and ask.capacity:
            share = Decimal(readings.get(ask.code) or ask.capacity) / ask.capacity
            data, view = pictures.gauge(float(share), f"fuel gauge, {word}"), "Fuel gauge"
        elif ask.measures == "gas":
            data, view = pictures.scale(readings.get(ask.code) or _usual(ask, walk), f"{ask.name}, {word}"), ask.name
        else:
            continue
        add_photo(walk, station=station.number, data=data, subject=ask.id, view=view, act=clock.act())


def _photograph_views(walk: WalkRound, clock: Clock) -> None:
    for station in walk.sheet.data.stations:
        for ask in station.views:
            left_out = {"fuel_gauge", NOT_TAKEN_BACK} if walk.is_return else {"fuel_gauge"}
            if ask.code in left_out or ask.at not in {"both", walk.kind}:
                continue
            is_side = ask.code in {"sliding_door", "entrance"}
            data = pictures.side(came_back=walk.is_return) if is_side else pictures.view(ask.name)
            add_photo(walk, station=station.number, data=data, subject=ask.subject, view=ask.name, act=clock.act())


def _sign_walk(walk: WalkRound, clock: Clock) -> None:
    seen = shown_digest(walk)
    customer = walk.leg.rental.customer.name
    for role, name in (("customer", customer), ("staff", str(clock.by))):
        walk_actions.sign_walk(
            walk, role=role, name=name, strokes=strokes(name), seen_sha256=seen, act=clock.act()
        )  # fmt: skip


def _settle(rental: Rental, clock: Clock) -> Statement:
    statement = draw_up(Rental.objects.get(pk=rental.pk), act=clock.act())
    for role, name in (("customer", rental.customer.name), ("staff", str(clock.by))):
        sign_statement(
            statement, role=role, name=name, strokes=strokes(name), seen_sha256=statement.digest, act=clock.act()
        )
    return settle(statement, act=clock.act())


def strokes(name: str) -> list[list[dict[str, int]]]:
    """Each word one line of loops over a sheet a thousand wide: a letter's loop is as tall as the letter."""
    across = 840 // len(name)
    starts = [place for place in range(len(name)) if place == 0 or name[place - 1] == " "]
    return [_word(name[start:].partition(" ")[0], 80 + start * across, across) for start in starts]


def _word(word: str, left: int, across: int) -> list[dict[str, int]]:
    """Twelve points a letter, round from the base line; t in milliseconds."""
    return [
        {
            "x": left + round(across * (place / 12 - 0.45 * sin(place * pi / 6))),
            "y": 250 - round(_tall(word[place // 12]) * (1 - cos(place * pi / 6)) / 2),
            "t": place * 12,
        }
        for place in range(len(word) * 12)
    ]


def _tall(letter: str) -> int:
    """Above the base line; letters with a tail go below it."""
    return 170 if letter.isupper() else 140 if letter in "bdfhklt" else -70 if letter in "gjpqy" else 64
