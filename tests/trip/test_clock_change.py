"""Broken down at 01:30 and on again at 01:30: the night of 25 October 2026, when the clocks go back at 02:00 BST."""

import json
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from fleet.models import Unit
from handover.acting import CannotBe
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.trip.actions import NoticeSaid, SwapPlan, begin_swap, note_notice
from handover.trip.legs import leg_at
from handover.trip.models import Notice
from handover.walkround import actions as walks
from shared.access.models import Person
from shared.clock import from_wall
from tests.factories import PersonFactory, RentalFactory, UnitFactory, an_act
from tests.kept import anew
from tests.playing import come_back, go

pytestmark = pytest.mark.django_db
HALF_PAST_ONE = datetime.fromisoformat("2026-10-25T01:30")
FIRST, SECOND = (from_wall(HALF_PAST_ONE, "Europe/London", fold=fold) for fold in (0, 1))
TEN_PAST_THREE = datetime(2026, 10, 25, 3, 10, tzinfo=UTC)
HOME = datetime(2026, 10, 26, 10, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def kept_night(kept_for_module: None) -> Rental:
    """407 given up at the first 01:30, 118 handed over at the second, due back on the 26th at 10:00."""
    isla, unit_118 = PersonFactory(), UnitFactory(number="118")
    rental = RentalFactory(
        leg=UnitFactory(), planned_out_at=datetime(2026, 10, 23, 9, tzinfo=UTC), planned_back_at=HOME, charged_days=3
    )
    go(rental, isla, at=datetime(2026, 10, 23, 8, tzinfo=UTC), diesel="82", gas_front="11.7")
    plan = SwapPlan(unit_118, "operator", "Fuel pump", "Glen Ure", FIRST, mode="absent")
    swap = begin_swap(rental=rental, plan=plan, act=an_act(isla, at=FIRST))
    walks.finish(swap.from_leg.walk_rounds.get(kind="return"), act=an_act(isla, at=SECOND - timedelta(minutes=5)))
    rental.refresh_from_db()
    go(rental, isla, at=SECOND, diesel="60", gas_front="11.7")
    return rental


@pytest.fixture
def night(kept_night: Rental, db: None) -> Rental:
    return anew(kept_night)


def speeding(plate: str, at: datetime = TEN_PAST_THREE, **changed: object) -> NoticeSaid:
    said = {
        "kind": "fine", "ref": "PCN 310", "authority": "Glen Council", "amount": Decimal("60.00"), "plate": plate,
        "at": at, "zone": "Europe/London", "handling": "paid_by_operator", "received_on": date(2026, 11, 9),
        "customer_told_on": date(2026, 11, 10),
    }  # fmt: skip
    return NoticeSaid(**said | changed)  # type: ignore[arg-type]


def test_the_two_half_past_ones_are_an_hour_apart(night: Rental) -> None:
    first, second = night.legs.all()
    assert second.started_at - first.ended_at == timedelta(hours=1)


def test_ten_past_three_is_the_second_unit_s(night: Rental, unit_118: Unit) -> None:
    leg = leg_at("LRK 118", TEN_PAST_THREE)
    assert (leg.rental, leg.unit, leg.number) == (night, unit_118, 2)


@pytest.mark.parametrize("plate", ["lrk407", "LRK-407", " LRK 407 "])
def test_the_first_unit_until_it_was_given_up(night: Rental, plate: str) -> None:
    assert leg_at(plate, FIRST).number == 1


def test_then_the_first_unit_was_nobody_s(night: Rental) -> None:
    words = "Unit 407 was in the yard on 25 Oct 2026 03:10: nobody had it. It came back on 25 Oct 2026 01:30."
    with pytest.raises(CannotBe, match=words):
        leg_at("LRK 407", TEN_PAST_THREE)


def test_before_the_second_half_past_one_the_second_unit_was_nobody_s(night: Rental) -> None:
    with pytest.raises(CannotBe, match="It next left on 25 Oct 2026 01:30"):
        leg_at("LRK 118", SECOND - timedelta(minutes=1))


def test_a_plate_that_nobody_knows(night: Rental) -> None:
    with pytest.raises(CannotBe, match="No unit has the plate LRK 999"):
        leg_at("LRK 999", TEN_PAST_THREE)


def test_the_notice_is_kept_with_its_leg(night: Rental, isla: Person, unit_118: Unit) -> None:
    note_notice(notice=speeding("LRK 118"), act=an_act(isla, at=datetime(2026, 11, 10, 12, tzinfo=UTC)))
    notice = Notice.objects.get()
    assert (notice.rental, notice.leg.unit, notice.at) == (night, unit_118, TEN_PAST_THREE)


def test_the_whole_night_priced(night: Rental, isla: Person, callum: Person) -> None:
    """In time: 0 minutes late. Fuel by leg, carried: 407 not read, 118 60 - 60. The fine is passed on."""
    come_back(night, callum, at=HOME, diesel="60", gas_front="11.7")
    note_notice(notice=speeding("LRK 118"), act=an_act(isla, at=datetime(2026, 11, 10, 12, tzinfo=UTC)))
    result = json.loads(draw_up(night, act=an_act(callum, at=datetime(2026, 11, 11, 9, tzinfo=UTC))).result)
    assert result["derived"]["late_minutes"] == 0
    assert [(line["code"], line["ref"], line["amount"]) for line in result["lines"]] == [("FINE", "PCN 310", "60.00")]


def test_the_offsets_stand_in_the_document(night: Rental, callum: Person) -> None:
    come_back(night, callum, at=HOME, diesel="60", gas_front="11.7")
    document = json.loads(draw_up(night, act=an_act(callum, at=HOME)).inputs)
    assert document["rental"]["operator_waits"] == [
        {"from": "2026-10-25T01:30+01:00", "to": "2026-10-25T01:30+00:00", "cause": "unit swap"}
    ]
