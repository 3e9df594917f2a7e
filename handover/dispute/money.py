"""What a chargeback can be about: what was taken, what went back already, and what of it is still here. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

ZERO = Decimal(0)
TAKEN, GIVEN_BACK = frozenset({"captured", "paid"}), frozenset({"refunded"})


class Moved(Protocol):
    """One movement of money, its amount above zero."""

    kind: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Claim:
    """`asked` is the most that can be kept of what is claimed; `twice` of it went back to the customer already."""

    claimed: Decimal
    asked: Decimal

    @property
    def twice(self) -> Decimal:
        return self.claimed - self.asked


@dataclass(frozen=True, slots=True)
class Money:
    """In the rental's currency: captured and paid, and refunded."""

    taken: Decimal
    refunded: Decimal

    @property
    def kept(self) -> Decimal:
        return max(self.taken - self.refunded, ZERO)

    def claim(self, claimed: Decimal) -> Claim:
        """802.50 taken, 410.00 refunded, 802.50 claimed: 392.50 can be asked for, 410.00 would be paid twice."""
        return Claim(claimed, min(claimed, self.kept))


def money_of(movements: Iterable[Moved]) -> Money:
    rows = list(movements)
    return Money(
        taken=sum((row.amount for row in rows if row.kind in TAKEN), ZERO),
        refunded=sum((row.amount for row in rows if row.kind in GIVEN_BACK), ZERO),
    )
