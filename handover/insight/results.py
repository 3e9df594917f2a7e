"""What the latest statements of the rentals of a period say: lines, cover, waivers, findings. Read once for a page.

The sums stand in each statement's own canonical JSON; nothing is priced again here. Only what tables ask for is kept
of it: a period may hold thousands of statements.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from handover.insight.asking import Asked
from handover.statement.models import Statement
from handover.statement.queries import latest_versions

ZERO = Decimal(0)
NOT_CHARGES = frozenset({"WAIVER", "GOODWILL", "SERVICE_FAILURE", "OVERPAID", "PREPAID_REFUND"})


@dataclass(frozen=True, slots=True)
class Line:
    """Amounts in the currency of the statement; what is given back is below zero. `tax_code` is empty without tax."""

    code: str
    raw: Decimal
    covered: Decimal
    amount: Decimal
    tax: Decimal
    tax_code: str

    @property
    def is_charge(self) -> bool:
        return self.code not in NOT_CHARGES and self.raw > 0

    @property
    def waived(self) -> Decimal:
        """What a line that is a waiver takes off: above zero."""
        return -self.amount if self.code == "WAIVER" else ZERO


@dataclass(frozen=True, slots=True)
class Finding:
    """What was looked at and is not charged, or not in full."""

    code: str
    ref: str
    reason: str


@dataclass(frozen=True, slots=True)
class Result:
    """The latest statement of one rental, read.

    `covers` are, by the name of the Extra or option, what it paid; `waived`, by the place of the waiver among the
    rental's waivers, what it took off: above zero.
    """

    statement: UUID
    rental: UUID
    branch: UUID
    currency: str
    number: str
    lines: tuple[Line, ...]
    findings: tuple[Finding, ...]
    covers: tuple[tuple[str, Decimal], ...]
    waived: tuple[tuple[int, Decimal], ...]


def latest(asked: Asked) -> tuple[Result, ...]:
    """In the order of the rentals' numbers. One query for all tables of a page."""
    return asked.once(_latest)


def _latest(asked: Asked) -> tuple[Result, ...]:
    rows = latest_versions().filter(asked.due_back("rental__")).select_related("rental").order_by("rental__number")
    return tuple(_result(row) for row in rows.defer("inputs").iterator(chunk_size=200))


def _result(row: Statement) -> Result:
    told = json.loads(row.result)
    return Result(
        row.pk, row.rental_id, row.rental.branch_id, row.currency, row.rental.number,
        lines=tuple(map(_line, told["lines"])),
        findings=tuple(Finding(each["code"], each["ref"], each["reason"]) for each in told["findings"]),
        covers=tuple(_covers(told)), waived=tuple(_waived(told)),
    )  # fmt: skip


def _line(line: Mapping[str, Any]) -> Line:
    raw, covered, amount, tax = (Decimal(line[name] or 0) for name in ("raw", "covered", "amount", "tax"))
    return Line(line["code"], raw, covered, amount, tax, line["tax_code"] or "")


def _covers(told: Mapping[str, Any]) -> Iterator[tuple[str, Decimal]]:
    for row in told["workings"]:
        for part in row["cover"]:
            yield part["name"], Decimal(part["amount"])


def _waived(told: Mapping[str, Any]) -> Iterator[tuple[int, Decimal]]:
    for line, row in zip(told["lines"], told["workings"], strict=True):
        if line["code"] == "WAIVER":
            yield _place_of_waiver(row), -Decimal(line["amount"])


def _place_of_waiver(workings: Mapping[str, Any]) -> int:
    """From the path that its first step names: waivers[2].percent. -1 where it names none."""
    for step in workings["steps"]:
        head, bracket, rest = step["source"].partition("waivers[")
        if bracket and not head:
            return int(rest.partition("]")[0])
    return -1
