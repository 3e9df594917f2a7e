"""Fresh and waste water and the cassette through the trip: where to fill, where to empty."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from consumables.trip_plan.model import Party, Stop, Tanks, WaterNight
from consumables.water import daily
from shared.units import value_in

NONE = Decimal(0)
# From here on it is worth doing where it can be done, though it would last.
HALF = Decimal("0.5")


@dataclass(frozen=True, slots=True)
class Used:
    """Litres a day."""

    fresh: Decimal
    waste: Decimal
    cassette: Decimal


def used_by(party: Party) -> Used:
    used = daily(party.people, party.habit)
    return Used(*(value_in(each, "L") for each in (used.fresh, used.waste, used.cassette)))


def water_by_night(tanks: Tanks, party: Party, stops: Sequence[Stop]) -> tuple[WaterNight, ...]:
    """The evening of each night. A day's use lies between two evenings; fill and empty when it would not do to the
    next place that has it, and at a place known to have it from half on."""
    used, nights = used_by(party), []
    fresh, waste, cassette = tanks.fresh_now_l, tanks.waste_now_l, tanks.cassette_now_l
    for place in range(len(stops)):
        night = _night(tanks, used, (fresh, waste, cassette), stops[place:])
        nights.append(night)
        # What the plan asks for on the way is done next day.
        fresh = (tanks.fresh_l if night.dry else night.fresh_l) - used.fresh
        waste = (NONE if night.full else night.waste_l) + used.waste
        cassette = (NONE if night.full else night.cassette_l) + used.cassette
    return tuple(nights)


def _night(tanks: Tanks, used: Used, now: tuple[Decimal, Decimal, Decimal], ahead: Sequence[Stop]) -> WaterNight:
    fresh, waste, cassette = now
    to_water, to_dump = days_to(ahead, lambda stop: stop.water), days_to(ahead, lambda stop: stop.waste)
    fills = _do(ahead[0].water, needed=fresh < used.fresh * to_water, worth=fresh <= tanks.fresh_l * HALF)
    empties = _do(
        ahead[0].waste, needed=waste + used.waste * to_dump > tanks.waste_l,
        worth=waste >= tanks.waste_l * HALF,
    )  # fmt: skip
    pulls = _do(
        ahead[0].waste, needed=cassette + used.cassette * to_dump > tanks.cassette_l,
        worth=cassette >= tanks.cassette_l * HALF,
    )  # fmt: skip
    # More than it holds in a day: the evening finds it empty, or full.
    fresh, waste, cassette = max(NONE, fresh), min(waste, tanks.waste_l), min(cassette, tanks.cassette_l)
    after = (tanks.fresh_l if fills else fresh, NONE if empties else waste, NONE if pulls else cassette)
    return WaterNight(
        fresh_l=after[0], waste_l=after[1], cassette_l=after[2], fill_l=after[0] - fresh,
        empty_waste=empties and waste > 0, empty_cassette=pulls and cassette > 0,
        dry=after[0] < used.fresh,
        full=after[1] + used.waste > tanks.waste_l or after[2] + used.cassette > tanks.cassette_l,
    )  # fmt: skip


def _do(there: bool | None, *, needed: bool, worth: bool) -> bool:  # noqa: FBT001
    """At an open place only when needed, at one known to have it also when worth it."""
    return there is not False and (needed or (bool(there) and worth))


def days_to(ahead: Sequence[Stop], has: Callable[[Stop], bool | None]) -> int:
    """Days from this evening to the next one at a place that has it or may have it, or to the end of the trip."""
    return next((days for days, stop in enumerate(ahead) if days and has(stop) is not False), len(ahead))
