"""Shares of an amount that add up to it exactly."""

from collections.abc import Sequence
from decimal import ROUND_FLOOR, Decimal

from handover.charges.sheet import ZERO
from shared.money import quantum


def pro_rata(amounts: Sequence[Decimal], payable: Decimal, digits: int) -> list[Decimal]:
    """Shares of `payable` in proportion to the amounts; the last minor units go to the largest fractions.

    `payable` is at most the sum of the amounts, which is above zero; no share is above its amount. Equal fractions
    go by their order.
    """
    total = sum(amounts, ZERO)
    unit = quantum(digits)
    exact = [payable * amount / total for amount in amounts]
    shares = [one.quantize(unit, rounding=ROUND_FLOOR) for one in exact]
    left = int((payable - sum(shares, ZERO)) / unit)
    by_fraction = sorted(range(len(exact)), key=lambda at: shares[at] - exact[at])
    for at in by_fraction[:left]:
        shares[at] += unit
    return shares


def in_order(amounts: Sequence[Decimal], payable: Decimal) -> list[Decimal]:
    """The first amounts in full as far as `payable` reaches; the last one reached takes the rest."""
    shares, left = [], payable
    for amount in amounts:
        shares.append(min(amount, left))
        left -= shares[-1]
    return shares
