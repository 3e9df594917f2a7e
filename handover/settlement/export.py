"""What the till and the accounts department book: the lines of settled statements, and the money that moved.

A later version books the one before it back and its own lines in full, so that the sums of any dates are right.
Customers are not named; no card data is kept that could be.
"""

import csv
import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, fields
from datetime import date, datetime, timedelta
from decimal import Decimal
from io import StringIO

from fleet.models import Branch
from handover.charges import parse
from handover.settlement.models import Movement
from handover.settlement.standing import SETTLED
from handover.settlement.taxes import TaxedLine, taxed
from handover.statement.models import Statement
from shared.canonical import canonical_text
from shared.clock import day_bounds, local
from shared.ledger.models import Entry
from shared.money import exponent
from shared.spreadsheet import as_text

SIGN = {Movement.Kind.HELD: 0, Movement.Kind.RELEASED: 0, Movement.Kind.CAPTURED: 1, Movement.Kind.PAID: 1,
        Movement.Kind.REFUNDED: -1}  # fmt: skip
# A device's clock may run ahead of the server's by so much; the index is on the time of recording.
CLOCKS_APART = timedelta(days=2)


@dataclass(frozen=True, slots=True)
class Booked:
    """One row. entry: line, reversal or movement; amounts as decimal text, empty where they do not apply.

    `gross` of a movement is what it adds to the till: 0 for what is only held or released, whose amount is `moved`.
    """

    booked_on: str
    rental: str
    version: str
    entry: str
    code: str
    ref: str
    tax_class: str
    net: str
    tax: str
    gross: str
    currency: str
    movement: str = ""
    moved: str = ""
    method: str = ""
    reference: str = ""


def rows(branch: Branch, *, start: date, end: date) -> Iterator[Booked]:
    """Both days belong to it, by the branch's calendar."""
    bounds = (day_bounds(start, branch.zone)[0], day_bounds(end, branch.zone)[1])
    yield from _lines(branch, bounds)
    yield from _movements(branch, bounds)


def _lines(branch: Branch, bounds: tuple[datetime, datetime]) -> Iterator[Booked]:
    settled = Entry.objects.filter(
        kind=SETTLED, happened_at__gte=bounds[0], happened_at__lt=bounds[1], recorded_at__gte=bounds[0] - CLOCKS_APART,
        chain__in=branch.rentals.values("pk"),
    )  # fmt: skip
    for entry in settled.order_by("happened_at", "id").iterator():
        statement = Statement.objects.select_related("rental").get(pk=str(entry.subject))
        on = local(entry.happened_at, branch.zone).date().isoformat()
        if before := _version_before(statement):
            yield from (_line(on, statement, row, "reversal", -1) for row in taxed_lines(before))
        yield from (_line(on, statement, row, "line", 1) for row in taxed_lines(statement))


def _version_before(statement: Statement) -> Statement | None:
    """The one that was settled before it; versions drawn up and never settled were never booked."""
    booked = Entry.objects.filter(kind=SETTLED, chain=statement.rental_id).values("subject")
    earlier = Statement.objects.filter(pk__in=booked, rental=statement.rental, version__lt=statement.version)
    return earlier.order_by("version").last()


def taxed_lines(statement: Statement) -> list[TaxedLine]:
    return taxed(parse(json.loads(statement.inputs)), json.loads(statement.result)["lines"])


def _line(on: str, statement: Statement, row: TaxedLine, entry: str, sign: int) -> Booked:
    digits = exponent(statement.currency)
    net, tax, gross = (f"{sign * amount:.{digits}f}" for amount in (row.net, row.tax, row.gross))
    return Booked(
        on, statement.rental.number, str(statement.version), entry, row.code, row.ref, row.tax_class, net, tax, gross,
        statement.currency,
    )  # fmt: skip


def _movements(branch: Branch, bounds: tuple[datetime, datetime]) -> Iterator[Booked]:
    moved = Movement.objects.filter(rental__branch=branch, at__gte=bounds[0], at__lt=bounds[1])
    for row in moved.select_related("rental", "statement").order_by("at", "id").iterator():
        digits = exponent(row.currency)
        yield Booked(
            booked_on=local(row.at, branch.zone).date().isoformat(),
            rental=row.rental.number,
            version=str(row.statement.version) if row.statement else "",
            entry="movement",
            code="",
            ref="",
            tax_class="",
            net="",
            tax="",
            gross=f"{SIGN[Movement.Kind(row.kind)] * row.amount:.{digits}f}",
            currency=row.currency,
            movement=row.kind,
            moved=f"{row.amount:.{digits}f}",
            method=row.method,
            reference=row.reference,
        )


def as_csv(booked: Iterable[Booked]) -> str:
    """With a heading; texts that a spreadsheet would take for a formula begin with an apostrophe."""
    out = StringIO()
    writer = csv.DictWriter(out, [field.name for field in fields(Booked)], lineterminator="\r\n")
    writer.writeheader()
    for row in booked:
        plain = asdict(row)
        for name in ("ref", "reference"):
            plain[name] = as_text(plain[name])
        writer.writerow(plain)
    return out.getvalue()


def as_json(branch: Branch, *, start: date, end: date) -> str:
    """{branch, from, to, currency, rows, sums}; sums of net, tax, gross of the lines and of what came into the till."""
    booked = list(rows(branch, start=start, end=end))
    return canonical_text(
        {
            "branch": branch.code,
            "from": start.isoformat(),
            "to": end.isoformat(),
            "currency": branch.currency,
            "rows": [asdict(row) for row in booked],
            "sums": sums(booked, branch.currency),
        }
    )


def sums(booked: Iterable[Booked], currency: str) -> dict[str, str]:
    totals = dict.fromkeys(("net", "tax", "gross", "till"), Decimal(0))
    for row in booked:
        if row.entry == "movement":
            totals["till"] += Decimal(row.gross)
        else:
            for name in ("net", "tax", "gross"):
                totals[name] += Decimal(getattr(row, name))
    return {name: f"{amount:.{exponent(currency)}f}" for name, amount in totals.items()}
