"""A line of a statement as a dispute names it: by code and ref, which it keeps when it is priced again."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.http import Http404

from handover.counter.lines import due_on, result_of
from handover.counter.models import Waiver
from handover.statement.models import Statement
from handover.statement.queries import statement_page
from shared.money import exponent, round_half_up
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


def has_line(statement: Statement, code: str, ref: str) -> bool:
    """Whether a version still has a line: a correction may have taken it off."""
    return any((line["code"], line["ref"]) == (code, ref) for line in result_of(statement)["lines"])


def due_now(statement: Statement, code: str, ref: str) -> Decimal:
    """What is due on a line after what was waived of it; nothing where the version has no such line. One query."""
    rows = Waiver.objects.filter(rental=statement.rental_id, code=code, ref=ref, withdrawn_at=None)
    return left_of(statement, code, ref, [(row.percent, row.amount) for row in rows])


def left_of(
    statement: Statement, code: str, ref: str, waived: Iterable[tuple[Decimal | None, Decimal | None]]
) -> Decimal:
    """The same from waivers at hand, each by percent or by amount."""
    if not has_line(statement, code, ref):
        return ZERO
    due = due_on(result_of(statement), code, ref)
    return max(due - sum((_worth(*row, due, statement.currency) for row in waived), ZERO), ZERO)


def _worth(percent: Decimal | None, amount: Decimal | None, due: Decimal, currency: str) -> Decimal:
    """Rounded as the line that it makes on the statement."""
    return amount if amount is not None else round_half_up(due * (percent or ZERO) / 100, exponent(currency))
