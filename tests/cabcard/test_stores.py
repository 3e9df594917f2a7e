"""What a unit carries: its layout, what differs in it, what was read at the pickup, and what then must not go."""

from decimal import Decimal
from typing import Any

import pytest

from consumables.battery import CannotTell, Chemistry, StateOfCharge, Why
from fleet.models import LayoutStores, Unit, UnitInstrument, UnitStores
from handover.cabcard.actions import PartySaid, plan_party
from handover.cabcard.queries import CardFacts
from handover.rental.models import Rental
from shared.access.models import Person
from shared.units import value_in
from tests.cabcard.conftest import an_instrument, facts_of
from tests.factories import an_act
from tests.playing import read, start

pytestmark = pytest.mark.django_db


def picked_up(rental: Rental, by: Person, **typed: str) -> CardFacts:
    read(start(rental, "pickup", by), by, an_act(by).at, **typed)
    return facts_of(rental)


def by_voltage(rental: Rental, by: Person, **said: Any) -> CardFacts:
    an_instrument(rental.legs.get().unit, "house_battery", unit="V", capacity=None)
    given = {"rested_h": Decimal(12), **said}
    plan_party(rental=rental, said=PartySaid(2, "sparing", Decimal(1), **given), act=an_act(by))
    return picked_up(rental, by, house_battery="12.45")


def test_before_the_pickup_it_is_reckoned_as_the_yard_fills_up(trip: Rental) -> None:
    inside = facts_of(trip).carried
    assert inside.stores.battery is not None
    assert inside.stores.tanks is not None
    assert (inside.stores.battery.percent, inside.stores.tanks.fresh_now_l) == (97, 90)
    assert [str(note) for note in inside.notes] == ["Nothing is read yet: reckoned as the yard fills up."]


def test_the_layout_says_what_is_built_in(trip: Rental) -> None:
    battery = facts_of(trip).carried.stores.battery
    assert battery is not None
    assert (battery.chemistry, battery.capacity_ah, battery.charger_a, battery.solar_w) == (Chemistry.AGM, 95, 10, 0)
    assert [load.name for load in battery.loads] == ["Refrigerator", "Phones"]


def test_the_unit_differs_where_it_says_so(trip: Rental, living: Unit) -> None:
    UnitStores.objects.create(unit=living, solar_w=120, battery_ah=Decimal(110))
    battery = facts_of(trip).carried.stores.battery
    assert battery is not None
    assert (battery.solar_w, battery.capacity_ah, battery.charger_a) == (120, 110, 10)


@pytest.mark.parametrize("missing", ["battery_ah", "fresh_l"])
def test_what_nobody_entered_is_left_out(trip: Rental, missing: str) -> None:
    LayoutStores.objects.update(**{missing: None})
    stores = facts_of(trip).carried.stores
    assert (stores.battery is None, stores.tanks is None) == (missing == "battery_ah", missing == "fresh_l")


def test_a_layout_without_stores_still_has_a_card(trip: Rental) -> None:
    LayoutStores.objects.all().delete()
    facts = facts_of(trip)
    assert (facts.carried.stores.battery, facts.carried.stores.tanks, facts.carried.charge) == (None, None, None)
    assert len(facts.plan.nights) == 4


def test_levels_are_those_of_the_pickup(trip: Rental, living: Unit, isla: Person) -> None:
    for code in ("fresh_water", "waste_water", "cassette"):
        an_instrument(living, code)
    tanks = picked_up(trip, isla, fresh_water="50", waste_water="25", cassette="0").carried.stores.tanks
    assert tanks is not None
    assert (tanks.fresh_now_l, tanks.waste_now_l, tanks.cassette_now_l) == (45, 20, 0)


def test_a_tank_read_in_litres_is_taken_as_it_is(trip: Rental, living: Unit, isla: Person) -> None:
    an_instrument(living, "fresh_water", unit="L", capacity=Decimal(90))
    tanks = picked_up(trip, isla, fresh_water="61").carried.stores.tanks
    assert tanks is not None
    assert tanks.fresh_now_l == 61


def test_the_display_is_planned_by_its_cautious_end(trip: Rental, living: Unit, isla: Person) -> None:
    an_instrument(living, "house_battery")
    facts = picked_up(trip, isla, house_battery="80")
    assert facts.carried.charge == StateOfCharge(Decimal(80), Decimal(77), Decimal(83), "shunt")
    assert facts.carried.stores.battery is not None
    assert facts.carried.stores.battery.percent == 77


def test_a_rest_voltage_names_its_table(trip: Rental, isla: Person) -> None:
    notes = by_voltage(trip, isla).carried.notes
    assert "Battery by rest voltage, maker’s AGM table: 58 to 67 %." in [str(note) for note in notes]


@pytest.mark.parametrize(
    ("said", "why"), [({"charging": True}, Why.CHARGING), ({"rested_h": Decimal("0.5")}, Why.NOT_RESTED)]
)
def test_where_voltage_cannot_tell_the_reserve_is_planned_with(
    trip: Rental, isla: Person, said: dict[str, Any], why: Why
) -> None:
    inside = by_voltage(trip, isla, **said).carried
    assert inside.charge == CannotTell(why)
    assert inside.stores.battery is not None
    assert inside.stores.battery.percent == 50


def test_a_lithium_plateau_is_said(trip: Rental, isla: Person) -> None:
    LayoutStores.objects.update(battery_chemistry="lithium")
    plan_party(
        rental=trip, act=an_act(isla),
        said=PartySaid(2, "usual", Decimal(1), volts=Decimal("13.20"), rested_h=Decimal(12)),
    )  # fmt: skip
    assert "it cannot tell. Use the shunt." in str(facts_of(trip).carried.notes[0])


def test_gas_is_weighed_by_its_own_tare(trip: Rental, living: Unit, isla: Person) -> None:
    front = living.layout.stations.get(number=2).instruments.get()
    UnitInstrument.objects.create(unit=living, instrument=front, serial="LK-407-1", tare_kg=Decimal("6.1"))
    gas = picked_up(trip, isla, gas_front="11.7").carried
    assert gas.stores.gas is not None
    assert value_in(gas.stores.gas.contents[0].mass, "kg") == Decimal("5.6")
    assert gas.cylinders[0].serial == "LK-407-1"


def test_a_cylinder_not_weighed_is_full(trip: Rental) -> None:
    gas = facts_of(trip).carried.stores.gas
    assert gas is not None
    assert [value_in(each.mass, "kg") for each in gas.contents] == [6]


def test_an_overfilled_cylinder_does_not_go_out(trip: Rental, isla: Person) -> None:
    stops = picked_up(trip, isla, gas_front="12.2").carried.stops
    assert [str(words) for words in stops] == [
        "Cylinder Front holds 6.3 kg, more than the 6.0 kg it may: it does not go out."
    ]


def test_another_cylinder_is_said(trip: Rental, living: Unit, isla: Person) -> None:
    front = living.layout.stations.get(number=2).instruments.get()
    facts = picked_up(trip, isla, gas_front="5.8")
    assert facts.carried.stops == ()
    UnitInstrument.objects.create(unit=living, instrument=front, serial="LK-9", tare_kg=Decimal("7.7"))
    assert [str(words) for words in facts_of(trip).carried.stops] == [
        "5.8 kg is less than cylinder LK-9 weighs empty, 7.7 kg."
    ]


def test_a_layout_says_by_mass_or_by_mole(living: Unit) -> None:
    stores = LayoutStores.objects.get()
    stores.gas = "50/50"
    with pytest.raises(Exception, match="by mass or by mole, since they differ"):
        stores.full_clean()
    stores.gas = "50/50 by mole"
    stores.full_clean()
