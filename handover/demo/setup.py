"""The demo's prices and bookings: a lively day at both branches, and the rental that is played from end to end."""

from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import NamedTuple

from django.utils import timezone

from fleet.demo.loading import DemoFleet
from fleet.models import Unit
from handover.acting import Act, CannotBe
from handover.demo.prices import load_extras, load_rate_cards
from handover.rental.actions import book
from handover.rental.booking import BookingDetails, ExtraPurchase
from handover.rental.changing import BookingTerms, change_booking
from handover.rental.models import ExtraOffer, NumberSeries, Rental
from shared.clock import from_wall
from shared.ids import uuid7

# The played rental's number on a fresh start.
FIRST_PLAYED = 20418


class DemoBooking(NamedTuple):
    """out and back are days from today; liability options cost nothing here, they only set the excess."""

    reference: str
    unit: str
    customer: str
    out: int
    out_at: time
    back: int
    back_at: time
    extras: tuple[str, ...] = ()
    excess: int = 1500
    deposit: int = 1500
    option: str = "Standard"
    language: str = "en"


REDUCED = (250, 500, "Reduced excess")
PLAYED = DemoBooking(
    "LM-40701", "407", "Maren Oduya", -4, time(10), 0, time(10), ("fuel-20", "gas", "late-hour"),
    excess=100, deposit=500, option="Reduced excess",
)  # fmt: skip
# Later ones of a unit first: when the days are moved on, each makes room for the one before it.
BOOKINGS = (
    DemoBooking("LM-40702", "407", "Noor Halabi", 0, time(15, 15), 6, time(10), ("tank",)),
    DemoBooking("LM-14002", "140", "June Wetherill", 0, time(16, 45), 5, time(16), ("gas", "cleaning")),
    DemoBooking("LM-51201", "512", "Piet van Asselt", 0, time(14), 8, time(10), language="nl"),
    DemoBooking("LM-21202", "212", "Bashir Kell", 0, time(13, 30), 4, time(11), ("fuel-20",), *REDUCED),
    DemoBooking("LM-30502", "305", "Grete Solvang-Ames", 0, time(11, 30), 7, time(10), ("gas",)),
    DemoBooking("LM-11801", "118", "Tomas Iveldt", 0, time(9), 5, time(10), ("late-hour",)),
    DemoBooking("LM-14001", "140", "Family Corran", -7, time(14), 0, time(12, 15), ("cleaning",)),
    DemoBooking("LM-21201", "212", "Esi Larbi", -6, time(9, 30), 0, time(11), ("gas",), language="ar"),
    DemoBooking("LM-30501", "305", "Akiko Brandt", -5, time(10), 0, time(8, 30), (), *REDUCED, language="de"),
    DemoBooking("LM-27102", "271", "Ottoline Fraye", 0, time(12, 45), 9, time(11), ("fuel-20", "gas")),
    DemoBooking("LM-26601", "266", "Dov Marchetti", -8, time(13), 0, time(14, 30), ("tank",)),
    DemoBooking("LM-27101", "271", "Sunniva Holt", -3, time(12), 0, time(9, 30)),
)


def load_bookings(fleet: DemoFleet, *, today: date, played_back_on: date) -> Rental:
    """Prices, Extras and bookings around today. Returns Maren Oduya's rental of unit 407, back on `played_back_on`.

    A second run finds what is there: open bookings move to today, started ones stay and get a successor. A booking
    whose unit is still out by somebody's doing is left out.
    """
    load_rate_cards(fleet.branches)
    load_extras(fleet.branches)
    _start_numbers(fleet)
    for row in BOOKINGS:
        try:
            _keep(row, fleet, today)
        except CannotBe:
            continue
    return _keep_played(fleet, played_back_on)


def _start_numbers(fleet: DemoFleet) -> None:
    """So that the first played rental is LK-20418 after the other bookings of its branch."""
    before = sum(fleet.units[row.unit].branch.code == "inverlark" for row in BOOKINGS)
    NumberSeries.objects.get_or_create(
        branch=fleet.branches["inverlark"], kind="rental", defaults={"last": FIRST_PLAYED - 1 - before}
    )


def _keep(row: DemoBooking, fleet: DemoFleet, today: date) -> None:
    known = Rental.objects.filter(outside_reference__startswith=row.reference)
    started = known.exclude(state=Rental.State.BOOKED)
    if still_open := known.filter(state=Rental.State.BOOKED).first():
        _move(still_open, row, fleet, today)
    elif not started.filter(planned_back_at__date__gte=today).exists():
        suffix = f"-{today:%y%m%d}" if started.exists() else ""
        _book(row._replace(reference=row.reference + suffix), fleet, today)


def _keep_played(fleet: DemoFleet, back_on: date) -> Rental:
    known = Rental.objects.filter(outside_reference=PLAYED.reference).first()
    if known is None:
        return _book(PLAYED, fleet, back_on)
    return _move(known, PLAYED, fleet, back_on) if known.state == Rental.State.BOOKED else known


def _book(row: DemoBooking, fleet: DemoFleet, day: date) -> Rental:
    unit = fleet.units[row.unit]
    booked_at = _at(unit, day - timedelta(days=21), time(11, 20))
    offers = ExtraOffer.objects.filter(branch=unit.branch, code__in=row.extras)
    details = BookingDetails(
        reference=row.reference,
        customer_name=row.customer,
        email=f"{row.customer.lower().replace(' ', '.')}@example.org",
        language=row.language,
        unit=unit,
        drivers=(row.customer,),
        planned_out_at=_at(unit, day + timedelta(row.out), row.out_at),
        planned_back_at=_at(unit, day + timedelta(row.back), row.back_at),
        charged_days=row.back - row.out,
        liability_option=row.option,
        excess=Decimal(row.excess),
        deposit_held=Decimal(row.deposit),
        extras=tuple(ExtraPurchase(offer, booked_at) for offer in offers),
    )
    act = Act(by=fleet.people["maeve"], at=booked_at, key=uuid7(), device="desk")
    return book(branch=unit.branch, details=details, act=act)


def _move(rental: Rental, row: DemoBooking, fleet: DemoFleet, day: date) -> Rental:
    unit = fleet.units[row.unit]
    terms = BookingTerms(
        planned_out_at=_at(unit, day + timedelta(row.out), row.out_at),
        planned_back_at=_at(unit, day + timedelta(row.back), row.back_at),
        charged_days=rental.charged_days,
        liability_option=rental.liability_option,
        excess=rental.excess,
        deposit_held=rental.deposit_held,
    )
    act = Act(by=fleet.people["maeve"], at=timezone.now(), key=uuid7(), device="desk")
    return change_booking(rental=rental, terms=terms, act=act)


def _at(unit: Unit, day: date, clock: time) -> datetime:
    return from_wall(datetime.combine(day, clock), unit.branch.zone, fold=0)
