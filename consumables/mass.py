"""Payload by the unit's plate: what may still be loaded, and what is not known. Pure.

A figure on paper. Advice: the plate and the handbook come first, and a weighbridge tells.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from consumables.said import Said
from consumables.said import say as _
from shared.units import Quantity, quantity, value_in

ZERO = quantity(0, "kg")
# A driver is in the mass in running order, passengers are not: 75 kg each. EN 1646-2; Reg. (EU) 1230/2012, from memory.
PERSON = quantity(75, "kg")
# Category B ends here: Directive 2006/126/EC, art. 4(4)(b), from memory. Nations have exceptions; the rule is changing.
LICENCE_LIMIT = quantity(3500, "kg")
ADVICE = _("Advice, reckoned from the plate and from what was said: the handbook comes first, a weighbridge tells.")


@dataclass(frozen=True, slots=True)
class Load:
    """Something carried. included: what of it the mass in running order holds already (driver, 90 % of the fuel).

    behind_front: distance of its middle behind the front axle, for the axles; None where nobody knows.
    """

    name: Said
    mass: Quantity
    included: Quantity = ZERO
    behind_front: "Quantity | None" = None

    @property
    def counts(self) -> Quantity:
        counts: Quantity = self.mass - self.included
        return counts


@dataclass(frozen=True, slots=True)
class Axles:
    """From the plate and a weighbridge: the most each axle may carry, and what it carries in running order."""

    wheelbase: Quantity
    most_front: Quantity
    most_rear: Quantity
    running_front: Quantity
    running_rear: Quantity


@dataclass(frozen=True, slots=True)
class Plate:
    """max_mass and length of the unit; running_mass with driver, as its papers have it."""

    max_mass: Quantity
    running_mass: Quantity
    length: Quantity
    axles: Axles | None = None


@dataclass(frozen=True, slots=True)
class AxleLeft:
    """What each axle may still carry; below zero when it is over."""

    front: Quantity
    rear: Quantity


@dataclass(frozen=True, slots=True)
class Payload:
    """left: what may still be loaded, below zero when it is over. least: the allowance of EN 1646-2 for belongings.

    unknown: what the figure leaves out, in sentences; advice belongs beside every figure.
    """

    left: Quantity
    least: Quantity
    axles: AxleLeft | None
    unknown: tuple[Said, ...]
    advice: Said

    @property
    def is_over(self) -> bool:
        axles = (self.axles.front, self.axles.rear) if self.axles else ()
        return any(left < ZERO for left in (self.left, *axles))

    @property
    def is_below_least(self) -> bool:
        """Less is left than the standard keeps for the party's belongings."""
        return bool(self.left < self.least)


def payload(plate: Plate, loads: Sequence[Load], *, persons: int) -> Payload:
    """Maximum mass less running order less everything carried (masses; persons include the driver, at least 1).

    Source of the sum: EN 1646-2. Raises ValueError without a driver.
    """
    left = plate.max_mass - plate.running_mass - sum((load.counts for load in loads), ZERO)
    axles = _axles_left(plate.axles, loads) if plate.axles else None
    return Payload(left, belongings_at_least(persons, plate.length), axles, _unknown(plate, loads), ADVICE)


def belongings_at_least(persons: int, length: Quantity) -> Quantity:
    """The least mass kept for belongings: 10 kg for each person and 10 kg for each metre of length (EN 1646-2)."""
    if persons < 1:
        raise ValueError("Somebody drives: a party is at least one person.")
    return quantity(10 * persons + 10 * value_in(length, "m"), "kg")


def passengers(persons: int) -> Load:
    """Everybody but the driver, 75 kg each (EN 1646-2, from a maker's handbook). Children weigh less, others more."""
    if persons < 1:
        raise ValueError("Somebody drives: a party is at least one person.")
    return Load(_("Passengers, 75 kg each"), PERSON * (persons - 1))


def water(volume: Quantity) -> Load:
    """Fresh or waste water, a kilogram a litre: 0.1 % too much at 15 °C (CoolProp)."""
    return Load(_("Water"), quantity(value_in(volume, "L"), "kg"))


def licence_note(max_mass: Quantity) -> Said | None:
    """When the plate is above 3,500 kg: category B is not enough, however little is loaded. None below."""
    if max_mass <= LICENCE_LIMIT:
        return None
    return _(
        "Its plate says %(mass)s kg: a licence for 3,500 kg is not enough, however little is loaded. "
        "See each driver's licence and the rules of the country.",
        mass=f"{value_in(max_mass, 'kg'):.0f}",
    )


def _axles_left(axles: Axles, loads: Sequence[Load]) -> AxleLeft:
    """By levers about the front axle; a load of unknown place is left out and told as unknown."""
    placed = [load for load in loads if load.behind_front is not None]
    rear = sum((load.counts * (load.behind_front / axles.wheelbase) for load in placed), ZERO)
    front = sum((load.counts for load in placed), ZERO) - rear
    return AxleLeft(axles.most_front - axles.running_front - front, axles.most_rear - axles.running_rear - rear)


def _unknown(plate: Plate, loads: Sequence[Load]) -> tuple[Said, ...]:
    """What nobody has weighed: options fitted later, the party itself, and the axles."""
    always = _("Not known: what was fitted after the papers were made, and what each person truly weighs.")
    if plate.axles is None:
        return (always, _("Not known: the load of each axle. Heavy things low and between the axles."))
    nowhere = [load for load in loads if load.behind_front is None and load.counts != ZERO]
    if nowhere:
        return (always, _("Not in the axle figures: %(what)s, since its place is not known.", what=nowhere[0].name))
    return (always,)
