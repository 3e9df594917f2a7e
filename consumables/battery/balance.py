"""What the loads of a unit take out of its battery in a day."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from consumables.battery.chemistry import Chemistry
from consumables.battery.peukert import drawn
from shared.units import Quantity, quantity, value_in

NOMINAL_V = Decimal(12)


@dataclass(frozen=True, slots=True)
class Load:
    """`watts` while on; on for `hours` a day and `hours_each` more for every person. `in_frost`: cold nights only.

    A compressor refrigerator that runs a third of the time is on for 8 hours.
    """

    name: str
    watts: Decimal
    hours: Decimal
    hours_each: Decimal = Decimal(0)
    in_frost: bool = False


def drawn_in_a_day(
    loads: Iterable[Load], *, people: int, frost: bool, capacity: Quantity, chemistry: Chemistry
) -> Quantity:
    """What all loads take out of the battery in a day and its night, Ah at 12 V; Peukert where a load is a heavy one.

    Error: as good as the load list and the habits; a quarter either way is usual.
    """
    on = (load for load in loads if frost or not load.in_frost)
    taken = (_of(load, people, capacity, chemistry) for load in on)
    return quantity(sum(taken, Decimal(0)), "Ah")


def _of(load: Load, people: int, capacity: Quantity, chemistry: Chemistry) -> Decimal:
    current = quantity(load.watts / NOMINAL_V, "A")
    hours = quantity(load.hours + people * load.hours_each, "h")
    return value_in(drawn(capacity, current, hours, chemistry), "Ah")
