"""Which extras stand: bought by the pickup signature, or later and then only for what comes after."""

from collections.abc import Iterator
from enum import Enum

from handover.charges.document.case import Case
from handover.charges.document.extras import Extra


class Standing(Enum):
    """What an extra's time of purchase makes of it."""

    VALID = "valid"
    FROM_NOW = "from_now"
    REJECTED = "rejected"


def standing(case: Case, extra: Extra) -> Standing:
    """Valid when bought at or before the pickup signature, compared as instants.

    Bought later it is rejected and its price refunded, or it applies from then on: never to fuel, so that an
    extra for fuel alone is rejected all the same.
    """
    if extra.purchased_at is None or extra.purchased_at.utc <= case.rental.pickup_at.utc:
        return Standing.VALID
    if (extra.late_purchase or case.rules.prepaid.late_purchase) == "reject_and_refund" or _fuel_alone(extra):
        return Standing.REJECTED
    return Standing.FROM_NOW


def _fuel_alone(extra: Extra) -> bool:
    return covers_fuel(extra) and breadth(extra) == sum(
        limit is not None for limit in (extra.limits.fuel_tanks, extra.limits.fuel_litres)
    )


def covers_fuel(extra: Extra) -> bool:
    return bool(extra.limits.fuel_tanks or extra.limits.fuel_litres)


def covers_gas(extra: Extra) -> bool:
    return bool(extra.limits.gas_cylinders or extra.limits.gas_kg)


def breadth(extra: Extra) -> int:
    """How many kinds of thing an extra covers: the fewer, the more specific it is."""
    limits = extra.limits
    listed = (limits.fuel_tanks, limits.fuel_litres, limits.gas_cylinders, limits.gas_kg, limits.late_minutes)
    more = (limits.late_blocks, limits.distance_km, limits.distance_mi, extra.excess)
    flags = (limits.after_hours, limits.grey, limits.toilet)
    counted = sum(one is not None for one in (*listed, *more)) + sum(flags)
    return counted + len(limits.kits) + len(extra.cleaning_up_to)


def standing_extras(case: Case) -> Iterator[tuple[Extra, Standing]]:
    """The extras that apply, the most specific first, then as listed."""
    for extra in sorted(case.prepaid, key=breadth):
        how = standing(case, extra)
        if how is not Standing.REJECTED:
            yield extra, how
