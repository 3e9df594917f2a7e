"""How full the house battery is, by its shunt or else by its rest voltage; or why voltage cannot tell."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Literal

from consumables.battery.chemistry import LEAD, Chemistry
from consumables.battery.rest_voltage import tables_for
from consumables.said import Said
from consumables.said import say as _
from shared.units import Quantity, quantity, value_in

SHUNT_HALF_WIDTH = Decimal(3)
METER_HALF_WIDTH = quantity("0.05", "V")
# Surface charge goes in 6 hours and more; 8 hours of rest are asked for, better 24. Below 2 nothing is said.
REST_AT_LEAST, REST_ENOUGH = quantity(2, "h"), quantity(8, "h")
SURFACE_V = Decimal("0.10")
TABLE_AT_C, VOLTS_PER_STEP, STEP_K = Decimal("26.7"), Decimal("0.024"), Decimal("5.56")
# Between these a lithium battery stands from 20 to 90 %: the plateau. Above, it is charging or just has been.
PLATEAU_V = (Decimal("12.9"), Decimal("13.4"))
TWELVE_VOLT_V = (Decimal(8), Decimal(15))


class Why(StrEnum):
    """Why voltage cannot tell."""

    NOT_MEASURED = "not_measured"
    CHARGING = "charging"
    NOT_RESTED = "not_rested"
    PLATEAU = "plateau"
    NOT_TWELVE_VOLT = "not_twelve_volt"


SENTENCES = {
    Why.NOT_MEASURED: _("Neither a percentage nor a voltage was read."),
    Why.CHARGING: _("Under charge the voltage is the charger’s: it cannot tell. Charger and sun off, then rest."),
    Why.NOT_RESTED: _("Too short at rest: the voltage cannot tell. Nothing on, nothing charging, for 2 hours."),
    Why.PLATEAU: _("A lithium battery reads this from a fifth to nine tenths: it cannot tell. Use the shunt."),
    Why.NOT_TWELVE_VOLT: _("No 12 V battery at rest reads this. Measure again at the battery."),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Measured:
    """What was read. `shunt` in percent; `volts` of a 12 V battery; `rested` since anything charged it or drew on it.

    `temperature` of the battery, None when not known: the tables' own is then taken.
    """

    shunt: Quantity | None = None
    volts: Quantity | None = None
    rested: Quantity | None = None
    charging: bool = False
    temperature: Quantity | None = None
    meter_half_width: Quantity = METER_HALF_WIDTH


@dataclass(frozen=True, slots=True)
class StateOfCharge:
    """Percent of the capacity, 0 to 100, between `low` and `high`. `table` names what a voltage was looked up in."""

    percent: Decimal
    low: Decimal
    high: Decimal
    by: Literal["shunt", "rest voltage"]
    table: str = ""


@dataclass(frozen=True, slots=True)
class CannotTell:
    why: Why

    @property
    def sentence(self) -> Said:
        return SENTENCES[self.why]


def state_of_charge(measured: Measured, chemistry: Chemistry) -> StateOfCharge | CannotTell:
    """The shunt's percentage where there is one; else the rest voltage, if it can tell.

    Error: `low` to `high` hold the meter, the spread of printed tables and, before 8 hours of rest, surface charge.
    An old battery holds less than its plate says, whatever this percentage.
    """
    if measured.shunt is not None:
        return _by_shunt(value_in(measured.shunt, "%"))
    if measured.volts is None:
        return CannotTell(Why.NOT_MEASURED)
    volts = value_in(measured.volts, "V")
    if why := _silent(measured, volts, chemistry):
        return CannotTell(why)
    return _by_voltage(measured, volts, chemistry)


def _by_shunt(percent: Decimal) -> StateOfCharge:
    low, high = max(percent - SHUNT_HALF_WIDTH, Decimal(0)), min(percent + SHUNT_HALF_WIDTH, Decimal(100))
    return StateOfCharge(percent, low, high, "shunt")


def _silent(measured: Measured, volts: Decimal, chemistry: Chemistry) -> Why | None:
    if measured.charging:
        return Why.CHARGING
    if not TWELVE_VOLT_V[0] <= volts <= TWELVE_VOLT_V[1]:
        return Why.NOT_TWELVE_VOLT
    if measured.rested is None or measured.rested < REST_AT_LEAST:
        return Why.NOT_RESTED
    margin = value_in(measured.meter_half_width, "V")
    on_plateau = PLATEAU_V[0] - margin <= volts <= PLATEAU_V[1] + margin
    return Why.PLATEAU if chemistry == Chemistry.LITHIUM and on_plateau else None


def _by_voltage(measured: Measured, volts: Decimal, chemistry: Chemistry) -> StateOfCharge:
    at_table = volts + _correction(measured.temperature, chemistry)
    meter = value_in(measured.meter_half_width, "V")
    surface = SURFACE_V if measured.rested is None or measured.rested < REST_ENOUGH else Decimal(0)
    tables = tables_for(chemistry)
    return StateOfCharge(
        percent=_whole(tables[0].percent(at_table)),
        low=_whole(min(table.percent(at_table - meter - surface) for table in tables)),
        high=_whole(max(table.percent(at_table + meter) for table in tables)),
        by="rest voltage",
        table=tables[0].name,
    )


def _correction(temperature: Quantity | None, chemistry: Chemistry) -> Decimal:
    """Volts to add: 0.024 V less for each 5.56 K below 26.7 °C, as the tables' own note has it. Lithium: none."""
    if temperature is None or chemistry not in LEAD:
        return Decimal(0)
    return VOLTS_PER_STEP * (value_in(temperature, "degC") - TABLE_AT_C) / STEP_K


def _whole(percent: Decimal) -> Decimal:
    """No voltage tells more than a whole percent."""
    return percent.quantize(Decimal(1))
