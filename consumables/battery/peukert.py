"""Peukert's law: a lead battery gives less the harder it is drawn on."""

from decimal import Decimal

from consumables.battery.chemistry import LEAD, Chemistry
from shared.units import Quantity, quantity, value_in

# Middle of the printed ranges: AGM 1.05 to 1.15, gel 1.1 to 1.25, flooded 1.2 to 1.6, lithium about 1.05.
EXPONENTS = {
    Chemistry.FLOODED: Decimal("1.25"),
    Chemistry.AGM: Decimal("1.10"),
    Chemistry.GEL: Decimal("1.15"),
    Chemistry.LITHIUM: Decimal("1.05"),
}
RATED_OVER = quantity(20, "h")


def hours_at(capacity: Quantity, current: Quantity, exponent: Decimal, rated_over: Quantity = RATED_OVER) -> Quantity:
    """How long a full battery gives this current: t = H (C / (I H))^k, C being its capacity over H hours.

    Not the other form, I^k t = C, whose C is a capacity at 1 A. Raises ValueError for a current of 0 or less.
    """
    amperes = value_in(current, "A")
    if amperes <= 0:
        raise ValueError(f"A battery that gives {amperes} A is never empty.")
    rated = value_in(rated_over, "h")
    hours: Decimal = rated * (value_in(capacity, "Ah") / (amperes * rated)) ** exponent
    return quantity(hours, "h")


def drawn(capacity: Quantity, current: Quantity, hours: Quantity, chemistry: Chemistry) -> Quantity:
    """What this current over these hours takes out of the rated capacity, Ah.

    Peukert counts for lead above the current of the rating. Below it nothing is given back, which is cautious; for
    lithium the effect is smaller than all else that is not known.
    """
    amperes, rated = value_in(current, "A"), value_in(capacity, "Ah") / value_in(RATED_OVER, "h")
    taken = amperes * value_in(hours, "h")
    if chemistry not in LEAD or amperes <= rated:
        return quantity(taken, "Ah")
    more: Decimal = (amperes / rated) ** (EXPONENTS[chemistry] - 1)
    return quantity(taken * more, "Ah")
