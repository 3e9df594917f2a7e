"""Power, water and gas for each night of a trip: for this unit and this party. Pure.

Values are Decimals in canonical units, named in each field (_l, _ah, _pct, _kg). Everything is advice: habits, weather
and the age of a battery move it by a quarter and more; the handbook and the display in the vehicle come first.
"""

from consumables.trip_plan.model import (
    Battery,
    Gas,
    GasNight,
    NightPlan,
    Party,
    Power,
    PowerNight,
    Stop,
    Tanks,
    TripPlan,
    UnitStores,
    WaterNight,
)
from consumables.trip_plan.plan import PARKED_BY, plan_trip
from consumables.trip_plan.practice import Practice, Verdict

__all__ = [
    "PARKED_BY", "Battery", "Gas", "GasNight", "NightPlan", "Party", "Power", "PowerNight", "Practice", "Stop",
    "Tanks", "TripPlan", "UnitStores", "Verdict", "WaterNight", "plan_trip",
]  # fmt: skip
