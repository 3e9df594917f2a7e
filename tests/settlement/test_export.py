"""What the accounts book: sums that agree, a later version against the one before, no formula, no name."""

import csv
import json
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from fleet.models import Branch
from handover.charges import parse, price
from handover.counter.actions.reopening import reopen
from handover.rental.models import Rental
from handover.settlement.actions import Money, capture, release
from handover.settlement.export import as_csv, rows
from handover.settlement.models import Movement
from handover.settlement.taxes import taxed
from handover.statement.models import Statement
from handover.trip.actions import stop_lateness
from shared.access.models import Person
from tests.charges.documents import document
from tests.factories import BACK_AT, an_act
from tests.settlement.conftest import EVENING, TO_COLLECT, sign_and_settle

pytestmark = pytest.mark.django_db
DAY = EVENING.date()


def exported(kind: str, start: str = "2026-08-01", end: str = "2026-08-31", branch: str = "inverlark") -> str:
    out = StringIO()
    call_command("export_settlements", branch=branch, start=start, end=end, format=kind, stdout=out)
    return out.getvalue()


@pytest.fixture
def done(settled: Rental, held: Callable[..., Movement], callum: Person) -> Rental:
    """Held 500.00, captured 154.07, released 345.93."""
    hold = held(settled)
    capture(hold=hold, money=Money(TO_COLLECT, "card"), act=an_act(callum, at=EVENING))
    release(hold=hold, money=Money(Decimal("345.93"), "card", "=1+1"), act=an_act(callum, at=EVENING))
    return settled


def test_the_lines_come_to_the_statement_and_to_the_till(done: Rental) -> None:
    """Tax by line: 8.50 of 51.03, 1.84 of 11.04, 7.00 of 42.00, 8.33 of 50.00."""
    answer = json.loads(exported("json"))
    assert answer["sums"] == {"net": "128.40", "tax": "25.67", "gross": "154.07", "till": "154.07"}
    statement = Statement.objects.get()
    assert Decimal(answer["sums"]["tax"]) == Decimal(json.loads(statement.result)["totals"]["tax"])


def test_each_row_says_where_it_belongs(done: Rental) -> None:
    fuel = next(row for row in csv.DictReader(StringIO(exported("csv"))) if row["code"] == "FUEL")
    assert (fuel["rental"], fuel["version"], fuel["entry"], fuel["tax_class"]) == (done.number, "1", "line", "standard")
    assert (fuel["net"], fuel["tax"], fuel["gross"]) == ("42.53", "8.50", "51.03")


def test_net_and_tax_are_the_gross_on_every_row(done: Rental, inverlark: Branch) -> None:
    lines = [row for row in rows(inverlark, start=DAY, end=DAY) if row.entry == "line"]
    assert len(lines) == 4
    assert all(Decimal(row.net) + Decimal(row.tax) == Decimal(row.gross) for row in lines)


def test_what_is_only_held_adds_nothing_to_the_till(done: Rental) -> None:
    moved = [row for row in json.loads(exported("json"))["rows"] if row["entry"] == "movement"]
    assert [(row["movement"], row["moved"], row["gross"]) for row in moved] == [
        ("held", "500.00", "0.00"), ("captured", "154.07", "154.07"), ("released", "345.93", "0.00"),
    ]  # fmt: skip


def test_no_name_and_no_formula(done: Rental) -> None:
    text = exported("csv")
    assert "Maren" not in text
    assert "'=1+1" in text


def test_a_later_version_books_the_one_before_back(done: Rental, callum: Person, ruth: Person) -> None:
    """Version 2 without the 50.00 for lateness: 104.07."""
    stop_lateness(rental=done, at=BACK_AT, cause="operator_instruction", act=an_act(callum, at=EVENING))
    reopen(Statement.objects.get(), cause="correction", words="We told her to wait.", act=an_act(ruth, at=EVENING))
    done.refresh_from_db()
    assert sign_and_settle(done, callum).total == Decimal("104.07")
    answer = json.loads(exported("json"))
    assert answer["sums"]["gross"] == "104.07"
    late = [row for row in answer["rows"] if row["code"] == "LATE"]
    assert [(row["entry"], row["gross"]) for row in late] == [("line", "50.00"), ("reversal", "-50.00")]


def test_only_the_days_asked_for(done: Rental) -> None:
    before = (DAY - timedelta(days=1)).isoformat()
    assert not [row for row in json.loads(exported("json", end=before))["rows"] if row["entry"] == "line"]
    assert json.loads(exported("json", start=DAY.isoformat(), end=DAY.isoformat()))["sums"]["gross"] == "154.07"


def test_only_the_branch_asked_for(done: Rental, port_averil: Branch) -> None:
    assert json.loads(exported("json", branch="port-averil"))["rows"] == []


@pytest.mark.parametrize("mode", ["inclusive", "exclusive"])
@pytest.mark.parametrize("rounding", ["per_line", "per_group"])
def test_lines_sum_to_the_tax_however_it_is_rounded(mode: str, rounding: str) -> None:
    case = parse(_three_notices(mode, rounding))
    priced = price(case).as_document()
    lines = taxed(case, priced["lines"])  # type: ignore[arg-type]
    totals: Any = priced["totals"]
    assert sum(line.tax for line in lines) == Decimal(totals["tax"])
    assert sum(line.gross for line in lines) == Decimal(totals["total"])


def _three_notices(mode: str, rounding: str) -> dict[str, Any]:
    """Three handling fees of 0.03 at 20 %: by line 0.01 each when on top, by class 0.02."""
    fees = [{"kind": "fine", "ref": f"n{n}", "amount": "60.00", "handling": "driver_nominated"} for n in range(3)]
    return document(
        tax={"mode": mode, "rate": "0.20", "rounding": rounding}, rules={"admin": {"per_fine": "0.03"}}, notices=fees
    )


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"branch": "nowhere"}, "No branch has the code nowhere. Known are: inverlark"),
        ({"start": "2026-09-01"}, "2026-08-31 is before 2026-09-01"),
        ({"start": "1 August"}, "1 August is no day"),
    ],
)
def test_a_wrong_question_gets_a_sentence(inverlark: Branch, asked: dict[str, str], words: str) -> None:
    with pytest.raises(CommandError, match=words):
        exported("csv", **asked)


def test_an_empty_span_is_a_heading_alone(inverlark: Branch) -> None:
    assert as_csv(rows(inverlark, start=DAY, end=DAY)).startswith("booked_on,rental,version,entry,code")
