"""How full the battery is, and when its voltage cannot tell."""

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from consumables.battery import (
    TABLES,
    CannotTell,
    Chemistry,
    Measured,
    StateOfCharge,
    Why,
    state_of_charge,
    tables_for,
    usable_share,
)
from shared.units import quantity

FLOODED, AGM, GEL, LITHIUM = Chemistry.FLOODED, Chemistry.AGM, Chemistry.GEL, Chemistry.LITHIUM


def measured(volts: str | Decimal, *, rested: int | None = 24, **said: Any) -> Measured:
    return Measured(
        volts=quantity(volts, "V"), rested=quantity(rested, "h") if rested is not None else None, **said
    )  # fmt: skip


def told(volts: str | Decimal, chemistry: Chemistry = FLOODED, **said: Any) -> StateOfCharge:
    found = state_of_charge(measured(volts, **said), chemistry)
    assert isinstance(found, StateOfCharge)
    return found


def why(volts: str, chemistry: Chemistry = FLOODED, **said: Any) -> Why:
    found = state_of_charge(measured(volts, **said), chemistry)
    assert isinstance(found, CannotTell)
    return found.why


def test_the_shunt_is_preferred_to_the_voltage() -> None:
    both = Measured(shunt=quantity(62, "%"), volts=quantity("12.65", "V"), rested=quantity(24, "h"))
    assert state_of_charge(both, FLOODED) == StateOfCharge(Decimal(62), Decimal(59), Decimal(65), "shunt")


@pytest.mark.parametrize(("percent", "low", "high"), [(99, 96, 100), (1, 0, 4)])
def test_the_shunts_doubt_ends_at_empty_and_full(percent: int, low: int, high: int) -> None:
    found = state_of_charge(Measured(shunt=quantity(percent, "%")), LITHIUM)
    assert found == StateOfCharge(Decimal(percent), Decimal(low), Decimal(high), "shunt")


@pytest.mark.parametrize(
    ("chemistry", "volts", "percent"),
    [(FLOODED, "12.35", 63), (AGM, "12.45", 62), (GEL, "12.50", 62), (LITHIUM, "12.4", 15), (LITHIUM, "13.55", 97)],
)
def test_between_two_rows_it_goes_straight(chemistry: Chemistry, volts: str, percent: int) -> None:
    assert told(volts, chemistry).percent == percent


@pytest.mark.parametrize(("volts", "percent"), [("13.1", 100), ("11.2", 0)])
def test_beyond_the_table_it_is_full_or_empty(volts: str, percent: int) -> None:
    assert told(volts).percent == percent


def test_the_table_is_named() -> None:
    assert told("12.45").table == "battery council table"
    assert told("12.45", GEL).table == "maker’s gel table"


def test_where_tables_disagree_their_spread_is_doubt() -> None:
    """At 12.15 V the council says 37 %, the magazine a quarter."""
    found = told("12.15", meter_half_width=quantity(0, "V"))
    assert (found.low, found.percent, found.high) == (25, 38, 38)


def test_the_meters_doubt_is_on_both_sides() -> None:
    found = told("12.45", AGM)
    assert (found.low, found.percent, found.high) == (58, 62, 67)


def test_before_eight_hours_surface_charge_is_doubted() -> None:
    assert told("12.45", AGM, rested=4).low < told("12.45", AGM, rested=8).low
    assert told("12.45", AGM, rested=4).percent == told("12.45", AGM, rested=8).percent


def test_a_cold_lead_battery_holds_less_than_it_reads() -> None:
    assert told("12.45", temperature=quantity(0, "degC")).percent < told("12.45").percent


def test_temperature_does_not_move_lithium() -> None:
    assert told("12.4", LITHIUM, temperature=quantity(0, "degC")) == told("12.4", LITHIUM)


def test_nothing_read_tells_nothing() -> None:
    assert state_of_charge(Measured(), AGM) == CannotTell(Why.NOT_MEASURED)


def test_under_charge_it_cannot_tell() -> None:
    assert why("13.8", charging=True) == Why.CHARGING


@pytest.mark.parametrize("rested", [None, 0, 1])
def test_without_rest_it_cannot_tell(rested: int | None) -> None:
    assert why("12.5", rested=rested) == Why.NOT_RESTED


@pytest.mark.parametrize("volts", ["12.86", "13.0", "13.2", "13.4", "13.44"])
def test_on_the_lithium_plateau_it_cannot_tell(volts: str) -> None:
    assert why(volts, LITHIUM) == Why.PLATEAU


@pytest.mark.parametrize("volts", ["6.2", "24.9"])
def test_another_systems_voltage_is_refused(volts: str) -> None:
    assert why(volts) == Why.NOT_TWELVE_VOLT


def test_why_it_cannot_tell_is_a_sentence() -> None:
    sentences = {str(CannotTell(reason).sentence) for reason in Why}
    assert len(sentences) == len(Why)
    assert str(CannotTell(Why.PLATEAU).sentence).endswith("it cannot tell. Use the shunt.")


@pytest.mark.parametrize("chemistry", Chemistry)
def test_tables_fall_all_the_way(chemistry: Chemistry) -> None:
    for table in tables_for(chemistry):
        assert all(above[0] > below[0] and above[1] > below[1] for above, below in pairwise(table.points))


@given(st.sampled_from([FLOODED, AGM, GEL]), st.decimals("11", "13", places=2), st.decimals("11", "13", places=2))
def test_more_volts_are_never_less_charge(chemistry: Chemistry, one: Decimal, other: Decimal) -> None:
    low, high = sorted((one, other))
    assert TABLES[chemistry].percent(low) <= TABLES[chemistry].percent(high)


@given(st.sampled_from([FLOODED, AGM, GEL]), st.decimals("11", "13", places=2), st.integers(2, 48))
def test_the_figure_lies_within_its_doubt(chemistry: Chemistry, volts: Decimal, rested: int) -> None:
    found = told(volts, chemistry, rested=rested)
    assert 0 <= found.low <= found.percent <= found.high <= 100


@given(st.decimals("0", "0.3", places=2), st.decimals("0", "0.3", places=2))
def test_a_worse_meter_never_lessens_the_doubt(one: Decimal, other: Decimal) -> None:
    better, worse = (told("12.3", AGM, meter_half_width=quantity(each, "V")) for each in sorted((one, other)))
    assert worse.low <= better.low
    assert worse.high >= better.high


def test_half_of_lead_and_four_fifths_of_lithium_are_used() -> None:
    shares = {chemistry: usable_share(chemistry) for chemistry in Chemistry}
    assert shares == {FLOODED: Decimal("0.5"), AGM: Decimal("0.5"), GEL: Decimal("0.5"), LITHIUM: Decimal("0.8")}
