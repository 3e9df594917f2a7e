"""What could still be saved: each saving is the difference of two whole pricings; nothing else is promised."""

import copy
from decimal import Decimal
from typing import Any

import pytest

from handover.charges import parse, price
from handover.counter.what_if import ALL_IN_ONE, EACH_ITS_OWN, regrouped, total_of, what_ifs
from tests.charges.documents import document, fuel_leg

DAMAGE = {"damage": {"excess": "1000.00", "excess_per": "event"}, "admin": {"per_damage_event": "40.00"}}


def scratch(part: str, price_: str) -> dict[str, Any]:
    return {"part": part, "repair": price_}


def event(name: str, side: str, *items: dict[str, Any]) -> dict[str, Any]:
    return {"id": name, "side": side, "unit": "U1", "items": list(items)}


def savings(case: dict[str, Any]) -> dict[tuple[str, str], str]:
    return {(one.kind, one.subject): str(one.saving) for one in what_ifs(case)}


def test_filling_up_to_the_level_it_left_with() -> None:
    """2 of 8 steps of 80 L at 2.00 are 40.00; so many litres make it good."""
    case = document(legs=[fuel_leg(8, 6)], rules={"fuel": {"price_per_litre": "2.00"}})
    (offer,) = what_ifs(case)
    assert (offer.kind, offer.quantity, offer.saving, offer.total) == ("refuel", "20", Decimal("40.00"), Decimal(0))


def test_nothing_is_offered_for_a_full_tank() -> None:
    assert what_ifs(document(legs=[fuel_leg(8, 8)], rules={"fuel": {"price_per_litre": "2.00"}})) == ()


def test_nothing_is_offered_without_a_reading() -> None:
    assert what_ifs(document(legs=[fuel_leg(8, None)], rules={"fuel": {"price_per_litre": "2.00"}})) == ()


def test_up_to_full_where_that_is_agreed() -> None:
    rate = {"price_per_litre": "2.00", "policy": "full_to_full", "target_when_out_below_full": "full"}
    (offer,) = what_ifs(document(legs=[fuel_leg(6, 4)], rules={"fuel": rate}))
    assert (offer.quantity, offer.saving) == ("40", Decimal("80.00"))


def test_only_the_unit_that_is_here_can_be_filled_up() -> None:
    case = document(legs=[fuel_leg(8, 6), fuel_leg(8, 8)], rules={"fuel": {"price_per_litre": "2.00"}})
    assert savings(case) == {}


def test_a_missing_thing_brought_back() -> None:
    case = document(equipment=[{"item": "Chair", "price": "45.00", "qty": 2}])
    assert savings(case) == {("bring_back", "Chair"): "90.00"}


def test_a_missing_cylinder_brought_back_empty() -> None:
    """85.00 for the cylinder are saved, the 4 kg that were in it at 5.00 are not."""
    cylinder = {"id": "front", "tare_kg": "5.9", "net_kg": "6", "gross_out_kg": "9.9", "missing": True}
    rate = {"policy": "by_weight", "price_per_kg": "5.00", "cylinder_price": "85.00"}
    case = document(legs=[{"unit": "U1", "gas": [cylinder]}], rules={"gas": rate})
    (offer,) = what_ifs(case)
    assert (offer.kind, offer.saving, offer.total) == ("cylinder", Decimal("85.00"), Decimal("20.00"))


def test_two_events_in_one_save_an_excess_and_a_fee() -> None:
    events = [event("E1", "left", scratch("door", "1200")), event("E2", "rear", scratch("bumper", "1100"))]
    assert savings(document(rules=DAMAGE, events=events)) == {("grouping", ALL_IN_ONE): "1040.00"}


def test_one_event_in_two_is_no_saving() -> None:
    events = [event("E1", "left", scratch("door", "1200"), scratch("sill", "1100"))]
    case = document(rules=DAMAGE, events=events)
    assert savings(case) == {}
    assert total_of(regrouped(case)[EACH_ITS_OWN]) - total_of(case) == Decimal("1040.00")


def test_foul_water_is_grouped_with_nothing() -> None:
    foul = {"id": "W1", "cause": "contaminated water", "items": [scratch("fresh water tank", "900")]}
    case = document(rules=DAMAGE, events=[event("E1", "left", scratch("door", "1200")), foul])
    assert regrouped(case) == {}


def test_damages_of_two_units_are_never_one() -> None:
    other = event("E2", "left", scratch("door", "1100")) | {"unit": "U2"}
    assert regrouped(document(rules=DAMAGE, events=[event("E1", "left", scratch("door", "1200")), other])) == {}


def test_the_greatest_saving_first() -> None:
    case = document(
        legs=[fuel_leg(8, 6)], rules={"fuel": {"price_per_litre": "2.00"}},
        equipment=[{"item": "Chair", "price": "90.00"}, {"item": "Mat", "price": "9.00"}],
    )  # fmt: skip
    assert [one.saving for one in what_ifs(case)] == [Decimal("90.00"), Decimal("40.00"), Decimal("9.00")]


@pytest.mark.parametrize("number", [0, 1])
def test_a_saving_is_the_difference_of_two_pricings(number: int) -> None:
    case = document(
        legs=[fuel_leg(8, 5)], rules={"fuel": {"price_per_litre": "2.13", "service_fee": "15.00"}},
        equipment=[{"item": "Chair", "price": "44.99", "qty": 3}],
    )  # fmt: skip
    changed = copy.deepcopy(case)
    if number:
        changed["legs"][0]["fuel"]["in"] = "8"
    else:
        changed["equipment"][0]["qty"] = 0
    offer = what_ifs(case)[number]
    before, after = (price(parse(one)).totals.total for one in (case, changed))
    assert (offer.saving, offer.total) == (before - after, after)


def test_the_stored_document_is_left_alone() -> None:
    case = document(legs=[fuel_leg(8, 6)], rules={"fuel": {"price_per_litre": "2.00"}})
    before = copy.deepcopy(case)
    what_ifs(case)
    assert case == before
