"""The Statement as it is printed: full price, what Extras pay, due, in the currency's digits."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import zip_longest

from handover.record.content import Line, Objection, Reopened, Statement, Step
from handover.record.figures import Writing
from handover.record.sentences import deposit_sentence, no_charge_sentence, tax_sentence


@dataclass(frozen=True)
class LineRow:
    number: int
    title: str
    summary: str
    raw: str
    covered: str
    due: str
    workings: tuple[Step, ...]


@dataclass(frozen=True)
class StatementPrint:
    """`deposit` is (before, bold, after), `findings` (what is free, why); `covered` has its minus or says none."""

    version: int
    drawn_up: str
    rules_version: str
    lines: tuple[LineRow, ...]
    raw: str
    covered: str
    total: str
    tax: str
    deposit: tuple[str, str, str]
    no_charge: str
    findings: tuple[tuple[str, str], ...]
    objections: tuple[tuple[str, str], ...]
    reopened: str
    open_to_objection: str


def statement_print(statement: Statement, writing: Writing) -> StatementPrint:
    totals = statement.totals
    return StatementPrint(
        version=statement.version,
        drawn_up=f"{statement.drawn_up_by}, {writing.moment(statement.drawn_up_at)}",
        rules_version=statement.rules_version,
        lines=tuple(_row(line, writing) for line in statement.lines),
        raw=writing.amount(totals.raw),
        covered=_covered(totals.covered, writing),
        total=writing.amount(totals.total),
        tax=tax_sentence(totals, writing),
        deposit=deposit_sentence(totals, writing),
        no_charge=no_charge_sentence(statement),
        findings=tuple(zip_longest(statement.no_charge, statement.findings, fillvalue="")),
        objections=tuple(_objection(row, writing) for row in statement.objections),
        reopened=_reopened(statement.reopened, writing) if statement.reopened else "",
        open_to_objection=_open_to_objection(statement, writing),
    )


def _open_to_objection(statement: Statement, writing: Writing) -> str:
    if statement.objection_until is None:
        return ""
    return f"The customer was not present and can object until {writing.day(statement.objection_until)}."


def _row(line: Line, writing: Writing) -> LineRow:
    return LineRow(
        line.number,
        line.title,
        f"{line.summary}; customer not present" if line.found_alone else line.summary,
        writing.amount(line.raw),
        _covered(line.covered, writing),
        writing.amount(line.due),
        line.workings,
    )


def _covered(amount: Decimal, writing: Writing) -> str:
    return writing.amount(-amount) if amount else "none"


def _objection(row: Objection, writing: Writing) -> tuple[str, str]:
    """The line and when; the customer's words and how they stand."""
    standing = f" {row.outcome}. {row.answer}".rstrip() if row.outcome else " Not answered yet."
    return f"{row.line}, {writing.moment(row.at)}", f"“{row.words}”{standing}"


def _reopened(row: Reopened, writing: Writing) -> str:
    by_how_much = f" Difference {writing.amount(row.difference)}." if row.difference is not None else ""
    opened = f"Statement {row.version} was opened again, {writing.moment(row.at)}, {row.by}"
    return f"{opened}: {row.cause}. {row.words}{by_how_much}"
