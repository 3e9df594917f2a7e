"""What the latest statements of the rentals of a period say: lines, cover, waivers, findings. One query.

The sums stand in each statement's own canonical JSON; nothing is priced again here. Bounded by the period.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import OuterRef, Subquery

from handover.insight.asking import Asked
from handover.statement.models import Statement

ZERO = Decimal(0)
NOT_CHARGES = frozenset({"WAIVER", "GOODWILL", "SERVICE_FAILURE", "OVERPAID", "PREPAID_REFUND"})


@dataclass(frozen=True, slots=True)
class Result:
    """The latest statement of one rental, read."""

    rental: UUID
    branch: UUID
    currency: str
    number: str
    result: Mapping[str, Any]

    @property
    def lines(self) -> list[Mapping[str, Any]]:
        return [*self.result["lines"]]

    @property
    def findings(self) -> list[Mapping[str, Any]]:
        return [*self.result["findings"]]

    def covers(self) -> Iterator[tuple[str, Decimal]]:
        """By the name of the Extra or option, what it paid."""
        for row in self.result["workings"]:
            for part in row["cover"]:
                yield part["name"], Decimal(part["amount"])

    def waived(self) -> Iterator[tuple[int, Decimal]]:
        """By the place of the waiver among the rental's waivers, what it took off: above zero."""
        for line, row in zip(self.result["lines"], self.result["workings"], strict=True):
            if line["code"] == "WAIVER":
                yield _place_of_waiver(row), -Decimal(line["amount"])


def _place_of_waiver(workings: Mapping[str, Any]) -> int:
    """From the path that its first step names: waivers[2].percent. -1 where it names none."""
    for step in workings["steps"]:
        head, bracket, rest = step["source"].partition("waivers[")
        if bracket and not head:
            return int(rest.partition("]")[0])
    return -1


def latest(asked: Asked, *, inputs: bool = False) -> Iterator[tuple[Result, Statement]]:
    """In the order of the rentals' numbers. With their inputs only when asked for: they are long."""
    newest = Statement.objects.filter(rental=OuterRef("rental")).order_by("-version")
    rows = Statement.objects.filter(asked.due_back("rental__"), pk=Subquery(newest.values("pk")[:1]))
    rows = rows.select_related("rental").order_by("rental__number")
    for row in (rows if inputs else rows.defer("inputs")).iterator(chunk_size=200):
        yield (
            Result(row.rental_id, row.rental.branch_id, row.currency, row.rental.number, json.loads(row.result)), row,
        )  # fmt: skip


def is_charge(line: Mapping[str, Any]) -> bool:
    return line["code"] not in NOT_CHARGES and Decimal(line["raw"]) > 0
