"""A unit swap: both units read, legs by local time, and what each leg does to the price."""

import json
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.utils import timezone

from fleet.models import Branch, DueDate, Unit
from handover.acting import CannotBe
from handover.board.queries import board_of
from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.trip.actions import SwapPlan, begin_swap, choose_other_unit
from handover.trip.legs import free_units
from handover.trip.models import Swap
from handover.walkround import actions as walks
from handover.walkround.models import WalkRound
from handover.zone import in_zone_of
from shared.access.models import Person
from tests.factories import BACK_AT, NINE, ExtraOfferFactory, RateCardFactory, RentalFactory, UnitFactory, an_act
from tests.playing import come_back, go, read
from tests.trip.conftest import DAY_3

pytestmark = pytest.mark.django_db
AN_HOUR = timedelta(hours=1)


def a_plan(unit: Unit, **changed: Any) -> SwapPlan:
    return replace(SwapPlan(unit, "operator", "Engine will not start", "Glen Ure", DAY_3, mode="absent"), **changed)


def begin(rental: Rental, unit: Unit, by: Person, **changed: Any) -> Swap:
    return begin_swap(rental=rental, plan=a_plan(unit, **changed), act=an_act(by, at=DAY_3))


def give_up(rental: Rental, unit: Unit, by: Person, *, readings: dict[str, str], **changed: Any) -> WalkRound:
    """The first unit's return, read and finished."""
    walk = begin(rental, unit, by, **changed).from_leg.walk_rounds.get(kind="return")
    read(walk, by, DAY_3, **readings)
    walks.finish(walk, act=an_act(by, at=DAY_3 + AN_HOUR))
    rental.refresh_from_db()
    return walk


def swap(rental: Rental, unit: Unit, by: Person, *, off: dict[str, str], on: dict[str, str], **changed: Any) -> None:
    """Given up at DAY_3, the other handed over an hour later."""
    give_up(rental, unit, by, readings=off, **changed)
    go(rental, by, at=DAY_3 + AN_HOUR, **on)


def due(rental: Rental, by: Person) -> dict[tuple[str, str], tuple[str, str]]:
    statement = draw_up(rental, act=an_act(by, at=BACK_AT + AN_HOUR))
    return {(row["code"], row["ref"]): (row["raw"], row["amount"]) for row in json.loads(statement.result)["lines"]}


def test_it_begins_with_the_return_of_the_unit_that_is_out(out: Rental, isla: Person, unit_118: Unit) -> None:
    walk = begin(out, unit_118, isla).from_leg.walk_rounds.get(kind="return")
    assert (out.state, walk.mode, walk.arrived_at) == ("return", "absent", DAY_3)
    assert out.legs.count() == 1


def test_the_first_unit_s_end_makes_the_next_leg(out: Rental, isla: Person, unit_118: Unit) -> None:
    give_up(out, unit_118, isla, readings={})
    first, second = out.legs.all()
    assert (out.state, first.ended_at, first.ended_by, first.cause) == (
        "swap", DAY_3, "operator", "Engine will not start",
    )  # fmt: skip
    assert (second.number, second.unit, second.started_at) == (2, unit_118, None)


def test_the_other_unit_goes_by_its_own_pickup(out: Rental, isla: Person, unit_118: Unit) -> None:
    frozen, frozen_at = out.frozen, out.frozen_at
    swap(out, unit_118, isla, off={}, on={"diesel": "60"})
    second = out.legs.last()
    assert (out.state, second.started_at) == ("out", DAY_3 + AN_HOUR)
    assert second.walk_rounds.get().sheet.data.stations
    assert (out.frozen, out.frozen_at) == (frozen, frozen_at)


def test_the_rate_card_stays_the_first_pickup_s(out: Rental, isla: Person, unit_118: Unit) -> None:
    RateCardFactory(number=8, valid_from=DAY_3.date(), rules={"fuel": {"price_per_litre": "9.99"}})
    swap(out, unit_118, isla, off={}, on={})
    assert out.frozen["rate_card"]["number"] == 7


def test_each_pickup_has_its_record(out: Rental, isla: Person, unit_118: Unit) -> None:
    swap(out, unit_118, isla, off={}, on={})
    assert list(Record.objects.filter(rental=out, kind="pickup").values_list("version", flat=True)) == [1, 2]


def test_the_keys_stay_until_the_second_pickup_is_signed(out: Rental, isla: Person, unit_118: Unit) -> None:
    give_up(out, unit_118, isla, readings={})
    walk = walks.start_walk(out.legs.last(), kind=WalkRound.Kind.PICKUP, act=an_act(isla, at=DAY_3 + AN_HOUR))
    with pytest.raises(CannotBe, match="Keys stay here"):
        walks.finish(walk, act=an_act(isla, at=DAY_3 + AN_HOUR))


def test_a_unit_that_is_back_is_not_taken_back_twice(out: Rental, isla: Person, unit_118: Unit) -> None:
    swap(out, unit_118, isla, off={}, on={})
    with pytest.raises(CannotBe, match="Unit 407 is back already"):
        walks.start_walk(out.legs.first(), kind=WalkRound.Kind.RETURN, act=an_act(isla, at=BACK_AT))


def test_the_first_unit_is_free_again(out: Rental, isla: Person, unit_118: Unit, unit_407: Unit) -> None:
    swap(out, unit_118, isla, off={}, on={})
    other = RentalFactory(leg=unit_407, planned_out_at=DAY_3 + AN_HOUR, planned_back_at=BACK_AT)
    go(other, isla, at=DAY_3 + 2 * AN_HOUR)
    assert other.state == "out"


@pytest.mark.parametrize(
    ("changed", "field"),
    [({"cause": "not_known"}, "cause"), ({"reason": " "}, "reason"), ({"place": ""}, "place"),
     ({"mode": "key_drop"}, "mode")],
)  # fmt: skip
def test_what_cannot_be_says_so(
    out: Rental, isla: Person, unit_118: Unit, changed: dict[str, str], field: str
) -> None:  # fmt: skip
    with pytest.raises(CannotBe) as refused:
        begin(out, unit_118, isla, **changed)
    assert refused.value.field == field
    assert not Swap.objects.exists()


def test_not_for_itself(out: Rental, isla: Person, unit_407: Unit) -> None:
    with pytest.raises(CannotBe, match="is the one that is out"):
        begin(out, unit_407, isla)


def test_not_for_a_retired_unit(out: Rental, isla: Person) -> None:
    with pytest.raises(CannotBe, match="is retired"):
        begin(out, UnitFactory(number="119", retired=True), isla)


def test_not_for_a_unit_that_another_rental_needs(out: Rental, isla: Person, unit_118: Unit) -> None:
    other = RentalFactory(leg=unit_118, planned_out_at=DAY_3 + AN_HOUR)
    with pytest.raises(CannotBe, match=f"booked for {other.number}"):
        begin(out, unit_118, isla)


def test_not_for_a_unit_on_which_something_falls_due(out: Rental, isla: Person, unit_118: Unit) -> None:
    DueDate.objects.create(unit=unit_118, kind="gas", due_on=BACK_AT.date())
    with pytest.raises(CannotBe, match="gas inspection is due on 18 Aug 2026"):
        begin(out, unit_118, isla)


def test_only_while_it_is_out(out: Rental, isla: Person, unit_118: Unit) -> None:
    begin(out, unit_118, isla)
    with pytest.raises(CannotBe, match="swapped while it is out"):
        begin(out, unit_118, isla)


def test_another_unit_can_be_chosen_before_its_pickup(out: Rental, isla: Person, unit_118: Unit) -> None:
    give_up(out, unit_118, isla, readings={})
    unit_119 = UnitFactory(number="119")
    choose_other_unit(rental=out, unit=unit_119, act=an_act(isla, at=DAY_3 + AN_HOUR))
    assert out.legs.last().unit == unit_119
    go(out, isla, at=DAY_3 + AN_HOUR)
    with pytest.raises(CannotBe, match="no unit waits"):
        choose_other_unit(rental=out, unit=unit_118, act=an_act(isla, at=DAY_3 + AN_HOUR))


def said_on_the_board(rental: Rental, branch: Branch) -> tuple[list[str], list[str]]:
    with in_zone_of(branch):
        board = board_of(branch, timezone.localtime(BACK_AT).date(), now=BACK_AT - AN_HOUR)
        return [peg.said.words for peg in board.pickups], [peg.said.words for peg in board.returns]


def test_the_day_board_shows_the_swap_and_then_the_other_unit(
    out: Rental, isla: Person, unit_118: Unit, inverlark: Branch
) -> None:  # fmt: skip
    give_up(out, unit_118, isla, readings={})
    assert said_on_the_board(out, inverlark) == (["Swap: unit 118 waits"], ["Unit swap under way"])
    go(out, isla, at=DAY_3 + AN_HOUR)
    assert said_on_the_board(out, inverlark) == ([], ["Due in 1 h 00"])


def test_by_the_operator_s_cause_litres_are_carried(out: Rental, isla: Person, callum: Person, unit_118: Unit) -> None:
    """82 - 40 = 42 short on 407, 60 - 70 = 10 over on 118: 32 L, less 4 x 1.5 for the gauges, is 26 x 1.62."""
    swap(out, unit_118, isla, off={"diesel": "40"}, on={"diesel": "60"})
    come_back(out, callum, at=BACK_AT, diesel="70")
    assert due(out, callum)["FUEL", "all legs"] == ("42.12", "42.12")


def test_by_the_customer_s_cause_each_leg_is_settled(
    out: Rental, isla: Person, callum: Person, unit_118: Unit
) -> None:  # fmt: skip
    """407: 42 - 3 = 39 L x 1.62 = 63.18. 118 came back fuller: nothing."""
    swap(out, unit_118, isla, off={"diesel": "40"}, on={"diesel": "60"}, cause="customer")
    come_back(out, callum, at=BACK_AT, diesel="70")
    found = due(out, callum)
    assert found["FUEL", "407"] == ("63.18", "63.18")
    assert ("FUEL", "118") not in found


@pytest.fixture
def with_a_tank(isla: Person, unit_407: Unit) -> Rental:
    """Out with one prepaid tank."""
    offer = ExtraOfferFactory(
        code="tank", name="Prepaid tank", covers={"limits": {"fuel_tanks": 1}}, price=Decimal("139.00")
    )
    rental = RentalFactory(leg=unit_407, extras=[offer])
    go(rental, isla, at=NINE, diesel="82", odometer="41206 mi", gas_front="11.7")
    return rental


def test_one_prepaid_tank_pays_the_dearer_of_two(
    with_a_tank: Rental, isla: Person, callum: Person, unit_118: Unit
) -> None:  # fmt: skip
    """407: 82 - 40 - 3 = 39 L, 63.18, paid by the Extra. 118: 60 - 50 - 3 = 7 L x 1.62 = 11.34, due."""
    swap(with_a_tank, unit_118, isla, off={"diesel": "40"}, on={"diesel": "60"}, cause="customer")
    come_back(with_a_tank, callum, at=BACK_AT, diesel="50")
    found = due(with_a_tank, callum)
    assert found["FUEL", "407"] == ("63.18", "0.00")
    assert found["FUEL", "118"] == ("11.34", "11.34")


def test_the_hour_between_two_units_is_never_late(out: Rental, isla: Person, callum: Person, unit_118: Unit) -> None:
    swap(out, unit_118, isla, off={"diesel": "82"}, on={"diesel": "60"})
    come_back(out, callum, at=BACK_AT, diesel="60")
    document = json.loads(draw_up(out, act=an_act(callum, at=BACK_AT + AN_HOUR)).inputs)
    assert document["rental"]["operator_waits"] == [
        {"from": "2026-08-16T15:00+01:00", "to": "2026-08-16T16:00+01:00", "cause": "unit swap"}
    ]
    assert [leg.get("swap_cause") for leg in document["legs"]] == ["operator", None]


def test_only_free_units_are_offered(out: Rental, isla: Person, unit_118: Unit) -> None:
    RentalFactory(leg=UnitFactory(number="120"), planned_out_at=DAY_3 + AN_HOUR)
    UnitFactory(number="121", retired=True)
    overdue = RentalFactory(leg=UnitFactory(number="122"), planned_back_at=DAY_3 - AN_HOUR)
    go(overdue, isla)
    assert list(free_units(out, DAY_3, isla.branch_ids)) == [unit_118]
