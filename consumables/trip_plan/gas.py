"""Gas through the trip: what is left after each night."""

from collections.abc import Sequence
from decimal import Decimal

from consumables.lpg import burnt_in_a_day
from consumables.trip_plan.model import Gas, GasNight, Party, Power, PowerNight, Stop
from shared.units import value_in

NONE = Decimal(0)
ON_MAINS = {Power.PLUG_IN, Power.MAINS_THERE}


def gas_by_night(
    gas: Gas, party: Party, stops: Sequence[Stop], power: Sequence[PowerNight | None]
) -> tuple[GasNight, ...]:
    """What is plugged in burns no gas in the refrigerator."""
    left = sum((value_in(each.mass, "kg") for each in gas.contents), NONE)
    least = sum((value_in(each.at_least, "kg") for each in gas.contents), NONE)
    nights = []
    for stop, night in zip(stops, power, strict=True):
        on_mains = night is not None and night.advice in ON_MAINS
        burnt = value_in(burnt_in_a_day(gas.loads, people=party.people, frost=stop.frost, on_mains=on_mains), "kg")
        left, least = left - burnt, least - burnt
        nights.append(GasNight(max(left, NONE), max(least, NONE), short=least < 0))
    return tuple(nights)
