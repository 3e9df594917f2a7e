"""Fresh water, waste water and the toilet cassette: litres and days for the party. Pure, and advice.

What the tank holds is for washing and cooking; whether it may be drunk is for the handbook and the tap it came from.
Waste water and cassette are emptied at authorised dump points only, whatever the plan says.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from consumables.said import say as _
from shared.units import Quantity, quantity, value_in


class Habit(StrEnum):
    """How a party uses water. Litres a person a day stand in LITRES."""

    SPARING = "sparing"
    USUAL = "usual"
    SHOWERS = "showers"


# Sphere Handbook: 7.5 to 15 L cover drinking, cooking and basic hygiene; WHO: about 20 L is the least for longer.
# A shower a day takes 10 to 20 L more (common practice, no source).
LITRES = {Habit.SPARING: Decimal(9), Habit.USUAL: Decimal(14), Habit.SHOWERS: Decimal(28)}
# Drunk or eaten, so never in the waste tank: 2.5 to 3 L by the Sphere Handbook.
DRUNK = Decimal("2.5")
# Flush and all. A 17.5 L cassette then lasts two people for three and a half days (common practice, no source).
CASSETTE_LITRES = Decimal("2.5")

AUTHORISED = _("Empty waste water and cassette at authorised dump points only, never on the ground or in a drain.")
FROST = _(
    "Frost: water pump off and taps open at night, or heating on. The boiler’s frost valve opens near 3 to 7 °C and "
    "empties it. Empty both tanks before hard frost; the handbook says how."
)
DRINKING = _("Tank water is for washing and cooking. Drink it boiled, or drink from bottles.")


@dataclass(frozen=True, slots=True)
class Daily:
    """Litres that a party uses in a day: fresh water, what of it becomes waste, and what goes into the cassette."""

    fresh: Quantity
    waste: Quantity
    cassette: Quantity


def daily(people: int, habit: Habit) -> Daily:
    """For a party of so many people, at least 1. Error: half as much again either way; weigh it by the first two days.

    Waste is what is used less what is drunk: it grows as the fresh water goes. Raises ValueError for no people.
    """
    if people < 1:
        raise ValueError(f"A party of {people} uses no water.")
    used = people * LITRES[habit]
    return Daily(
        quantity(used, "L"), quantity(used - people * DRUNK, "L"), quantity(people * CASSETTE_LITRES, "L")
    )  # fmt: skip


def days_until(room: Quantity, a_day: Quantity) -> Decimal:
    """Days until so much water is used, or so much room is filled, to a tenth of a day downwards."""
    days = value_in(room, "L") / value_in(a_day, "L")
    return Decimal(int(max(days, Decimal(0)) * 10)) / 10


@dataclass(frozen=True, slots=True)
class Lasts:
    """Days from a full fresh tank, and from empty waste tank and cassette; `least` is when one must stop for water."""

    fresh: Decimal
    waste: Decimal
    cassette: Decimal

    @property
    def least(self) -> Decimal:
        return min(self.fresh, self.waste)


def lasts(*, fresh_tank: Quantity, waste_tank: Quantity, cassette: Quantity, used: Daily) -> Lasts:
    """How long the tanks of a unit last for a party: a small waste tank ends it before the fresh tank does."""
    return Lasts(
        days_until(fresh_tank, used.fresh), days_until(waste_tank, used.waste), days_until(cassette, used.cassette)
    )  # fmt: skip
