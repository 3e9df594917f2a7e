"""The plan of a whole trip, night by night, with its basis and its cautions."""

from collections.abc import Iterator, Sequence

from consumables.battery import LEAD
from consumables.said import Said
from consumables.said import say as _
from consumables.trip_plan.customs import customs, whole
from consumables.trip_plan.gas import gas_by_night
from consumables.trip_plan.model import Battery, NightPlan, Party, Stop, TripPlan, UnitStores
from consumables.trip_plan.power import Day, power_by_night
from consumables.trip_plan.tanks import used_by, water_by_night
from consumables.water import AUTHORISED, DRINKING, FROST

PARKED_BY = _("Be there by: 30 min before sunset on a level horizon.")
HANDBOOK = _("Advice only: the handbook in the vehicle, its displays and road signs come first.")
DEEP = _("Never below half: a lead battery ages fast there, and below 10.5 V it dies.")


def plan_trip(stores: UnitStores, party: Party, stops: Sequence[Stop]) -> TripPlan:
    """Power, water and gas for each stop in order. Where the unit lacks a store, or nobody entered it, there is None.

    Error: habits, weather and age move it by a quarter and more; look at the displays. Raises ValueError for a party
    of none.
    """
    power = power_by_night(stores.battery, party, stops) if stores.battery else (None,) * len(stops)
    water = water_by_night(stores.tanks, party, stops) if stores.tanks else (None,) * len(stops)
    gas = gas_by_night(stores.gas, party, stops, power) if stores.gas else (None,) * len(stops)
    return TripPlan(
        nights=tuple(NightPlan(*night) for night in zip(stops, power, water, gas, strict=True)),
        practices=tuple(customs(stores, party, stops, power)),
        basis=tuple(_basis(stores, party, stops)),
        cautions=tuple(_cautions(stores, stops)),
    )


def _basis(stores: UnitStores, party: Party, stops: Sequence[Stop]) -> Iterator[Said]:
    if stores.tanks:
        litres = used_by(party).fresh / party.people
        yield _("Water %(litres)s L a person a day.", litres=whole(litres))
    if stores.battery and stops:
        yield from _battery_basis(stores.battery, party, stops[0])
    if stores.gas:
        yield _("Gas as weighed, less the doubt of scale and tare.")


def _battery_basis(battery: Battery, party: Party, stop: Stop) -> Iterator[Said]:
    day = Day(battery, party)
    figures = {"ah": whole(battery.capacity_ah), "drawn": whole(day.drawn_ah(stop)), "usable": whole(100 - day.reserve)}
    yield _("Battery %(ah)s Ah, %(usable)s %% of it to use, %(drawn)s Ah a day.", **figures)
    hours = f"{party.drive_h.normalize():f}"
    if battery.solar_w and stop.latitude is not None:
        sun = {"watts": whole(battery.solar_w), "sun": whole(day.sun_ah(stop)), "hours": hours}
        yield _("Driving %(hours)s h a day; %(watts)s W of panel bring %(sun)s Ah on a usual day.", **sun)
    else:
        yield _("Driving %(hours)s h a day; no sun counted.", hours=hours)


def _cautions(stores: UnitStores, stops: Sequence[Stop]) -> Iterator[Said]:
    yield HANDBOOK
    if stores.battery and stores.battery.chemistry in LEAD:
        yield DEEP
    if stores.tanks:
        yield AUTHORISED
        yield DRINKING
    if any(stop.frost for stop in stops):
        yield FROST
