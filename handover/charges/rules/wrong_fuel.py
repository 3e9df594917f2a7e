"""Wrong fuel in a tank, and other causes that void the liability option by themselves."""

from handover.charges.document.case import Case
from handover.charges.document.findings import DamageItem, Event
from handover.charges.document.legs import Leg

WRONG_FUEL = "wrong fuel"


def drained(case: Case, leg: Leg) -> bool:
    """Whether this leg's tank was drained; an event without a unit drains every leg's, in the customer's favour."""
    if leg.fuel is not None and leg.fuel.wrong_fuel:
        return True
    return any(event.cause == WRONG_FUEL and event.unit in (None, leg.unit) for event in case.events)


def events_of(case: Case) -> tuple[Event, ...]:
    """The events told, and one with the agreed drain fee for each tank of wrong fuel that none of them tells of."""
    rate = case.rules.fuel.wrong_fuel if case.rules.fuel is not None else None
    if rate is None or rate.drain_fee is None or any(event.cause == WRONG_FUEL for event in case.events):
        return case.events
    item = DamageItem(path="rules.fuel.wrong_fuel", part="drain and flush", repair=rate.drain_fee)
    told = [leg for leg in case.legs if leg.fuel is not None and leg.fuel.wrong_fuel]
    more = [
        Event(path="rules.fuel.wrong_fuel", id=f"wrong fuel {leg.unit}", cause=WRONG_FUEL, unit=leg.unit, items=(item,))
        for leg in told
    ]
    return (*case.events, *more)
