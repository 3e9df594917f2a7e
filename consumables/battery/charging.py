"""How long a charge takes, and how far one gets in some hours, by chemistry and charger."""

from dataclasses import dataclass
from decimal import Decimal

from consumables.battery.chemistry import LEAD, Chemistry
from shared.units import Quantity, quantity, value_in

# Rule of battery suppliers for lead: 1.2 x missing Ah / charger A to about 90 %, then 3 h more.
LEAD_FACTOR, LEAD_MOST, LEAD_TOPPING_H = Decimal("1.2"), Decimal(90), Decimal(3)
# Lithium takes the full current to nearly full and loses little: common practice, no source.
LITHIUM_FACTOR = Decimal("1.05")
FULL = Decimal(100)


@dataclass(frozen=True, slots=True)
class ChargeTime:
    """Hours to about 90 %, and until full; the same for lithium, which needs no topping."""

    to_most: Quantity
    to_full: Quantity


def charge_time(capacity: Quantity, percent: Decimal, charger: Quantity, chemistry: Chemistry) -> ChargeTime:
    """From `percent` of the capacity (0 to 100) with a charger of so many amperes, nothing else drawing.

    Error: a third either way; cold batteries and old ones take longer. Raises ValueError without a charging current.
    """
    amperes = value_in(charger, "A")
    if amperes <= 0:
        raise ValueError(f"A charger gives a current above 0, not {amperes} A.")
    missing = value_in(capacity, "Ah") * (FULL - percent) / FULL
    if chemistry not in LEAD:
        hours = quantity(LITHIUM_FACTOR * missing / amperes, "h")
        return ChargeTime(hours, hours)
    if percent >= LEAD_MOST:
        topping = LEAD_TOPPING_H * (FULL - percent) / (FULL - LEAD_MOST)
        return ChargeTime(quantity(0, "h"), quantity(topping, "h"))
    bulk = LEAD_FACTOR * missing / amperes
    return ChargeTime(quantity(bulk, "h"), quantity(bulk + LEAD_TOPPING_H, "h"))


def charged(capacity: Quantity, percent: Decimal, charger: Quantity, hours: Quantity, chemistry: Chemistry) -> Decimal:
    """The percentage after so many hours, 0 to 100: straight to 90 %, slower from there. Error as charge_time()."""
    spent = value_in(hours, "h")
    if spent <= 0 or percent >= FULL or value_in(charger, "A") <= 0:
        return percent
    time = charge_time(capacity, percent, charger, chemistry)
    to_most, to_full = value_in(time.to_most, "h"), value_in(time.to_full, "h")
    if spent >= to_full:
        return FULL
    if to_most == to_full:
        return percent + (FULL - percent) * spent / to_full
    if spent < to_most:
        return percent + (LEAD_MOST - percent) * spent / to_most
    begun = max(percent, LEAD_MOST)
    return begun + (FULL - begun) * (spent - to_most) / (to_full - to_most)
