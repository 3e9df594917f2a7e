"""A line of a statement, final and true to itself."""

from dataclasses import dataclass
from decimal import Decimal

from handover.charges.sheet import ZERO, Charge, CoverPart
from handover.charges.workings import Show, Sign, Step, equals


class UntrueError(AssertionError):
    """A priced value contradicts itself: a fault of the program, never of the document."""


@dataclass(frozen=True, slots=True)
class Line:
    """One charge. `amount` is what is due: the full price less what is covered; `tax` is None when taxed by group."""

    code: str
    ref: str
    raw: Decimal
    covered: Decimal
    amount: Decimal
    tax_code: str
    tax: Decimal | None
    workings: tuple[Step, ...]
    cover: tuple[CoverPart, ...]
    measure: str

    def __post_init__(self) -> None:
        if self.amount != self.raw - self.covered:
            raise UntrueError(f"{self.code} {self.ref}: {self.amount} is not {self.raw} less {self.covered}")
        if not ZERO <= self.covered <= max(self.raw, ZERO):
            raise UntrueError(f"{self.code} {self.ref}: cover of {self.covered} for {self.raw}")
        if self.cover and self.covered != sum(part.amount for part in self.cover):
            raise UntrueError(f"{self.code} {self.ref}: the parts of the cover are not {self.covered}")


def steps_to_due(charge: Charge, unit: str) -> tuple[Step, ...]:
    """The charge's steps, then what is covered, then what is due."""
    due = Step(Sign.EQUALS, charge.due, unit, "due", "", Show.DUE)
    if not charge.cover:
        return (*charge.steps, due)
    cover = [Step(Sign.MINUS, part.amount, unit, part.label, part.source, Show.COVER) for part in charge.cover]
    return (*charge.steps, equals(charge.raw, unit, "full price"), *cover, due)
