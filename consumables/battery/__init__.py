"""The house battery: how full it is, how long charging takes, what a day takes out of it and the sun puts in. Pure.

Exact quantities in and out. Everything here is advice: the handbooks of battery and charger come first, and work on
mains or on the battery's own cables is for those who are licensed for it.
"""

from consumables.battery.balance import Load, drawn_in_a_day
from consumables.battery.charging import ChargeTime, charge_time, charged
from consumables.battery.chemistry import LEAD, Chemistry, usable_share
from consumables.battery.peukert import EXPONENTS, drawn, hours_at
from consumables.battery.rest_voltage import OTHER_FLOODED, TABLES, RestTable, tables_for
from consumables.battery.solar import Yield, solar_yield
from consumables.battery.state import CannotTell, Measured, StateOfCharge, Why, state_of_charge

__all__ = [
    "EXPONENTS", "LEAD", "OTHER_FLOODED", "TABLES", "CannotTell", "ChargeTime", "Chemistry", "Load", "Measured",
    "RestTable", "StateOfCharge", "Why", "Yield", "charge_time", "charged", "drawn", "drawn_in_a_day", "hours_at",
    "solar_yield", "state_of_charge", "tables_for", "usable_share",
]  # fmt: skip
