"""A line of a statement as a dispute names it: by code and ref, which it keeps when it is priced again."""

from dataclasses import dataclass
from decimal import Decimal

from django.http import Http404

from handover.counter.lines import due_on, result_of
from handover.counter.models import Waiver
from handover.statement.models import Statement
from handover.statement.queries import statement_page
from shared.phrasebook import in_house_language

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class StatementLine:
    """`title` is the line as the statement calls it, in the house language."""

    statement: Statement
    code: str
    ref: str
    title: str


@in_house_language
def numbered_line(statement: Statement, number: int) -> StatementLine:
    """The line under its number on the page. Raises Http404. Call it with the branch's zone active."""
    lines = statement_page(statement.rental, version=statement.version).lines
    if not 1 <= number <= len(lines):
        raise Http404
    row = lines[number - 1]
    return StatementLine(statement, row.code, row.ref, row.title)


def due_now(statement: Statement, code: str, ref: str) -> Decimal:
    """What is due on a line after what was waived of it. Raises CannotBe where the version has no such line."""
    due = due_on(result_of(statement), code, ref)
    standing = Waiver.objects.filter(rental=statement.rental_id, code=code, ref=ref, withdrawn_at=None)
    return max(due - sum((_worth(row, due) for row in standing), ZERO), ZERO)


def _worth(row: Waiver, due: Decimal) -> Decimal:
    return row.amount if row.amount is not None else due * (row.percent or ZERO) / 100
