"""Plays six rentals through the product's own actions, each with a statement of its own kind, and prints their ids.

Run as a process of its own beside the server: python -m tests.browser.six. Units 512 and 118, on days long past.
"""

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

import django

django.setup()

from fleet.models import Unit  # noqa: E402
from handover.acting import Act  # noqa: E402
from handover.counter.actions import correct_reading, reopen  # noqa: E402
from handover.counter.evidence import Evidence  # noqa: E402
from handover.demo import pictures  # noqa: E402
from handover.photo.actions import add_photo  # noqa: E402
from handover.rental.actions import book  # noqa: E402
from handover.rental.booking import BookingDetails, ExtraPurchase  # noqa: E402
from handover.rental.models import ExtraOffer, Rental  # noqa: E402
from handover.statement.actions import draw_up, settle, sign_statement  # noqa: E402
from handover.statement.models import Statement  # noqa: E402
from handover.trip.actions import begin_swap  # noqa: E402
from handover.trip.actions.swapping import SwapPlan  # noqa: E402
from handover.walkround import actions  # noqa: E402
from handover.walkround.actions.marking import MarkSeen  # noqa: E402
from handover.walkround.models import WalkRound  # noqa: E402
from shared.access.models import Person  # noqa: E402
from shared.clock import from_wall  # noqa: E402
from shared.ids import uuid7  # noqa: E402
from tests.playing import STROKES, item, read, sign, start  # noqa: E402

ZONE = "Europe/London"


@dataclass
class Yard:
    """Who acts, and the odometers so far in km: each rental drives on from the one before."""

    isla: Person
    callum: Person
    ruth: Person
    km: dict[str, int]

    def drive(self, unit: str, km: int) -> str:
        # Unit 118 goes out again in the test of the whole job, which knows where its odometer stands.
        self.km[unit] += 0 if unit == "118" else km
        return f"{self.km[unit]} km"


def act(by: Person, at: datetime) -> Act:
    return Act(by=by, at=at, key=uuid7(), device="desk")


def booked(yard: Yard, customer: str, out: datetime, back: datetime, extras: tuple[str, ...] = ()) -> Rental:
    unit = Unit.objects.select_related("branch").get(number="512")
    offers = ExtraOffer.objects.filter(branch=unit.branch, code__in=extras)
    details = BookingDetails(
        customer_name=customer, unit=unit, planned_out_at=out, planned_back_at=back, charged_days=4,
        liability_option="Reduced excess", excess=Decimal(100), deposit_held=Decimal(500),
        extras=tuple(ExtraPurchase(offer, out - timedelta(days=9)) for offer in offers),
    )  # fmt: skip
    return book(branch=unit.branch, details=details, act=act(yard.isla, out - timedelta(days=9)))


def gauge_photo(walk: WalkRound, by: Person, at: datetime, litres: str) -> None:
    ask = item(walk, "diesel")
    picture = pictures.gauge(float(litres) / 90, f"fuel gauge, {walk.kind}")
    add_photo(walk, station=3, data=picture, subject=ask.id, view="fuel gauge", act=act(by, at))


def leave(yard: Yard, rental: Rental, at: datetime, unit: str, *, gas: str = "11.7") -> WalkRound:
    walk = start(rental, "pickup", yard.isla, at=at)
    read(walk, yard.isla, at, diesel="82", gas_front=gas, odometer=yard.drive(unit, 1))
    gauge_photo(walk, yard.isla, at, "82")
    for station in walk.sheet.data.stations:
        for topic in station.topics:
            actions.hear_topic(walk, item=topic.id, outcome="understood", seconds=20, act=act(yard.isla, at))
    sign(walk, yard.isla, at)
    actions.finish(walk, act=act(yard.isla, at))
    return walk


def look(yard: Yard, walk: WalkRound, at: datetime, unit: str, *, diesel: str, gas: str = "11.7") -> None:
    read(walk, yard.callum, at, diesel=diesel, gas_front=gas, odometer=yard.drive(unit, 640))
    gauge_photo(walk, yard.callum, at, diesel)


def come_back(yard: Yard, rental: Rental, at: datetime, unit: str = "512", **levels: str) -> WalkRound:
    rental.refresh_from_db()
    walk = start(rental, "return", yard.callum, at=at, arrived_at=at)
    look(yard, walk, at, unit, **levels)
    return walk


def priced(yard: Yard, walk: WalkRound, at: datetime) -> Statement:
    actions.finish(walk, act=act(yard.callum, at))
    return draw_up(Rental.objects.get(pk=walk.leg.rental_id), act=act(yard.callum, at))


def settled(yard: Yard, statement: Statement, at: datetime) -> None:
    for role in ("customer", "staff"):
        sign_statement(
            statement, role=role, name=role, strokes=STROKES, seen_sha256=statement.digest, act=act(yard.callum, at)
        )
    settle(statement, act=act(yard.callum, at))


def all_covered(yard: Yard, out: datetime, back: datetime) -> Rental:
    rental = booked(yard, "Aud Fennimore", out, back, ("tank", "gas"))
    leave(yard, rental, out, "512")
    priced(yard, come_back(yard, rental, back, diesel="40", gas="9.0"), back)
    return rental


def partly_covered(yard: Yard, out: datetime, back: datetime) -> Rental:
    rental = booked(yard, "Bo Tarrant", out, back, ("fuel-20",))
    leave(yard, rental, out, "512")
    priced(yard, come_back(yard, rental, back, diesel="47.5"), back)
    return rental


def two_events(yard: Yard, out: datetime, back: datetime) -> Rental:
    rental = booked(yard, "Cass Ollander", out, back)
    leave(yard, rental, out, "512")
    walk = come_back(yard, rental, back, diesel="82")
    for side in (-1, 1):
        seen = MarkSeen("scuff", "door", "kerb side" if side < 0 else "road side", 110, side * 1000, 2600)
        mark = actions.pin_mark(walk, station=8, seen=seen, act=act(yard.callum, back))
        picture = pictures.panel(scuffed=True, caption=seen.place)
        add_photo(walk, station=8, data=picture, subject=mark.pk, view=seen.place, act=act(yard.callum, back))
    priced(yard, walk, back)
    return rental


def unit_swap(yard: Yard, out: datetime, back: datetime) -> Rental:
    rental = booked(yard, "Dara Quillfeather", out, back)
    leave(yard, rental, out, "512")
    rental.refresh_from_db()
    at = out + timedelta(days=1)
    plan = SwapPlan(Unit.objects.get(number="118"), "operator", "Alternator dead", "Lay-by north of the pass", at)
    begin_swap(rental=rental, plan=plan, act=act(yard.isla, at))
    towed = WalkRound.objects.get(leg__rental=rental, kind="return")
    look(yard, towed, at, "512", diesel="41")
    actions.finish(towed, act=act(yard.isla, at))
    rental.refresh_from_db()
    leave(yard, rental, at + timedelta(hours=2), "118")
    priced(yard, come_back(yard, rental, back, "118", diesel="60"), back)
    return rental


def clock_change(yard: Yard, out: datetime, back: datetime) -> Rental:
    """Due at 18:00 on the evening before the clocks go back, returned at 09:30."""
    rental = booked(yard, "Edda Marlowe-Finch", out, back)
    leave(yard, rental, out, "512")
    late = from_wall(datetime(2026, 10, 25, 9, 30), ZONE)  # noqa: DTZ001
    priced(yard, come_back(yard, rental, late, diesel="82"), late)
    return rental


def reopened(yard: Yard, out: datetime, back: datetime) -> Rental:
    """Fuel misread at pickup: put right from the gauge's photo, and the difference goes back."""
    rental = booked(yard, "Finn Abelard", out, back)
    pickup = leave(yard, rental, out, "512")
    statement = priced(yard, come_back(yard, rental, back, diesel="60"), back)
    settled(yard, statement, back)
    later = back + timedelta(hours=20)
    statement.refresh_from_db()
    reopen(statement, cause="correction", words="The photo shows less", act=act(yard.ruth, later))
    reading = pickup.readings.get(item_id=item(pickup, "diesel").id)
    evidence = Evidence(chosen=(pickup.photos.get().pk,))
    correct_reading(reading, typed="61", words="Needle below the half", evidence=evidence, act=act(yard.ruth, later))
    draw_up(Rental.objects.get(pk=rental.pk), act=act(yard.callum, later))
    return rental


SCENES: tuple[tuple[Callable[[Yard, datetime, datetime], Rental], datetime], ...] = (
    (all_covered, datetime(2026, 9, 1, 10)),  # noqa: DTZ001
    (partly_covered, datetime(2026, 9, 8, 10)),  # noqa: DTZ001
    (two_events, datetime(2026, 9, 15, 10)),  # noqa: DTZ001
    (unit_swap, datetime(2026, 9, 22, 10)),  # noqa: DTZ001
    (clock_change, datetime(2026, 10, 20, 18)),  # noqa: DTZ001
    (reopened, datetime(2026, 11, 2, 10)),  # noqa: DTZ001
)


def main() -> None:
    people = {person.username: person for person in Person.objects.all()}
    km = dict(Unit.objects.filter(number__in=["512", "118"]).values_list("number", "odometer_km"))
    yard = Yard(people["isla"], people["callum"], people["ruth"], km)
    made = {}
    for play, out in SCENES:
        leaves, back = (from_wall(wall, ZONE) for wall in (out, out + timedelta(days=4)))
        made[play.__name__] = str(play(yard, leaves, back).pk)
    sys.stdout.write(json.dumps(made))


if __name__ == "__main__":
    main()
