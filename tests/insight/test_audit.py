"""What an auditor asks: what is found where something is wrong, and how much was looked at where nothing is."""

import json
from datetime import date, timedelta
from decimal import Decimal

import pytest

from fleet.models import DueDate
from handover.counter.models import Waiver
from handover.insight.asking import Asked
from handover.insight.audit import damage, due, evidence, money, numbering, readings, waivers
from handover.insight.table import Cell, Money, Table
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.settlement.models import Movement
from handover.statement.models import Statement
from handover.walkround.models import Mark, WalkRound
from shared.access.models import Person
from tests.factories import BACK_AT, NINE, RentalFactory, UnitFactory

D = Decimal


def cells(table: Table) -> list[tuple[Cell, ...]]:
    return [row.cells for row in table.rows]


def test_a_gap_in_the_numbers_of_rentals(inverlark: object, august: Asked) -> None:
    for number in ("LK-20100", "LK-20101", "LK-20104", "LK-A1", "XX-7"):
        RentalFactory(number=number)
    table = numbering.numbering_gaps(august)
    assert cells(table) == [("Inverlark", "Rentals", "LK-20102", "LK-20103", 2)]
    assert table.rests_on == 3


def test_a_version_that_is_missing(settled: Statement, august: Asked) -> None:
    assert numbering.numbering_gaps(august).rows == ()
    Statement.objects.filter(pk=settled.pk).update(version=3)
    assert cells(numbering.numbering_gaps(august)) == [
        ("Inverlark", f"Statements, {settled.rental.number}", "1", "3", 2)
    ]


def test_terms_that_were_signed(settled: Statement, august: Asked) -> None:
    (row,) = cells(numbering.terms_kept(august))
    assert row[:3] == (settled.rental.number, 7, date(2026, 1, 1))


def test_a_reading_answered_again(settled: Statement, isla: Person, august: Asked) -> None:
    assert readings.reading_changes(august).rows == ()
    first = WalkRound.objects.get(kind="pickup").readings.get(item__code="diesel")
    first.walk.readings.create(item=first.item, value=D(80), at=first.at + timedelta(minutes=2), by=isla)
    (row,) = cells(readings.reading_changes(august))
    assert row[2:] == ("Diesel", D(82), D(80), "L", "Isla Macrae", "Answered again on the walk-round")


def waived(settled: Statement, by: Person, amount: str, second: Person | None = None) -> Waiver:
    return Waiver.objects.create(
        rental=settled.rental, code="DAMAGE", ref="Mark 1, left door", amount=D(amount), reason="weather",
        words="Hail.", at=BACK_AT, by=by, second=second,
    )  # fmt: skip


@pytest.mark.parametrize(("amount", "finding"), [("50.00", None), ("50.01", "Above the limit, confirmed by nobody")])
def test_a_waiver_above_its_limit(
    settled: Statement, isla: Person, august: Asked, amount: str, finding: str | None
) -> None:
    waived(settled, isla, amount)
    table = waivers.waivers_above_limit(august)
    assert [row[-1] for row in cells(table)] == ([finding] if finding else [])
    assert table.rests_words == "1 waiver or credit"


def test_a_waiver_that_somebody_with_a_limit_confirmed(
    settled: Statement, isla: Person, callum: Person, ruth: Person, august: Asked
) -> None:
    waived(settled, isla, "200.00", second=ruth)
    assert waivers.waivers_above_limit(august).rows == ()
    waived(settled, isla, "201.00", second=callum)
    assert [row[-1] for row in cells(waivers.waivers_above_limit(august))] == ["Above both limits"]


def test_damage_charged_and_not_repaired(settled: Statement, august: Asked) -> None:
    (row,) = cells(damage.damage_not_repaired(august))
    assert row[0] == settled.rental.number
    assert row[3:] == (Money(D("400.00"), "GBP"), "none", "none", 20, "Charged and not repaired")
    Mark.objects.update(repaired_at=BACK_AT + timedelta(days=9))
    assert cells(damage.damage_not_repaired(august))[0][-1] == "Repaired, and no invoice is kept"


def test_one_mark_on_two_statements(settled: Statement, august: Asked) -> None:
    """The other rental was due back long before the period: it is found all the same."""
    table = damage.marks_charged_twice(august)
    assert (table.rows, table.rests_on) == ((), 1)
    other = RentalFactory(
        leg=UnitFactory(), planned_out_at=NINE - timedelta(days=400), planned_back_at=NINE - timedelta(days=390),
        state="settled", number="LK-1",
    )  # fmt: skip
    _copied(settled, other)
    other.repair_prices.create(
        mark=Mark.objects.get(), basis="estimate", amount=D(1), reference="W", at=NINE, by=settled.drawn_up_by
    )
    assert sorted(row[2] for row in cells(damage.marks_charged_twice(august))) == sorted(
        ["LK-1", settled.rental.number]
    )


def _copied(statement: Statement, rental: Rental) -> None:
    Statement.objects.create(
        rental=rental, version=1, inputs=statement.inputs, result=statement.result, rules_version="1", digest="0" * 64,
        total=statement.total, currency="GBP", drawn_up_at=NINE, drawn_up_by=statement.drawn_up_by,
    )  # fmt: skip


def test_deposits_to_explain(settled: Statement, callum: Person, august: Asked) -> None:
    """200 held for 20 days; 50 of another hold captured for nothing, after 100 of it were released."""
    said = {"rental": settled.rental, "currency": "GBP", "method": "card", "by": callum}
    Movement.objects.create(kind="held", amount=D(200), at=NINE, **said)
    other = Movement.objects.create(kind="held", amount=D(150), at=NINE, **said)
    Movement.objects.create(kind="released", amount=D(100), hold=other, at=BACK_AT, **said)
    Movement.objects.create(kind="captured", amount=D(50), hold=other, at=BACK_AT + timedelta(days=1), **said)
    found = [(row[2], row[4]) for row in cells(money.deposits_to_explain(august))]
    assert found == [
        (Money(D(200), "GBP"), "Held 19 days after the return"),
        (Money(D(50), "GBP"), "Captured for no settled statement"),
        (Money(D(50), "GBP"), "Captured after a release"),
    ]


def test_a_refund_by_another_way(settled: Statement, callum: Person, august: Asked) -> None:
    said = {"rental": settled.rental, "currency": "GBP", "by": callum, "at": BACK_AT + timedelta(days=3)}
    Movement.objects.create(kind="paid", amount=D(20), method="card", **said)
    Movement.objects.create(kind="refunded", amount=D(5), method="cash", **said)
    assert cells(money.refunds(august))[0][-1] == "Another way than it was paid"


def test_the_tax_class_of_each_line(settled: Statement, august: Asked) -> None:
    by_code = {row[2]: row[3] for row in cells(money.tax_classes(august))}
    assert (by_code["FUEL"], by_code["DAMAGE"]) == ("standard", "outside scope")
    assert len(json.loads(settled.result)["lines"]) == sum(int(str(row[4])) for row in cells(money.tax_classes(august)))


@pytest.mark.parametrize(
    ("due_on", "finding"), [(date(2026, 8, 13), "Overdue at pickup"), (date(2026, 8, 14), "Up to date")]
)
def test_checks_on_the_day_of_pickup(settled: Statement, august: Asked, due_on: date, finding: str) -> None:
    """The day it is due is still in time."""
    DueDate.objects.create(unit=settled.rental.legs.get().unit, kind="gas", due_on=due_on)
    rows = {str(row[3]): row[5] for row in cells(due.checks_at_pickup(august))}
    assert rows["Gas inspection"] == finding
    assert rows["Extinguisher service"] == "No date is kept"


def test_photos_by_whose_time(settled: Statement, august: Asked) -> None:
    """With the camera's time, by a tablet a minute off: nothing to explain. Without, or six minutes off: listed."""
    for photo in Photo.objects.all():
        Photo.objects.filter(pk=photo.pk).update(taken_at=photo.at, skew_ms=60_000)
    assert (evidence.photo_times(august).rows, evidence.photo_times(august).rests_on) == ((), 2)
    Photo.objects.update(skew_ms=-360_000)
    assert len(evidence.photo_times(august).rows) == 2
    Photo.objects.update(skew_ms=0, taken_at=None)
    assert len(evidence.photo_times(august).rows) == 2


def test_entered_later(settled: Statement, august: Asked) -> None:
    """The story is told of August and was written today."""
    rows = cells(evidence.entered_late(august))
    assert {row[0] for row in rows} == {settled.rental.number}
    assert "Isla Macrae" in {row[1] for row in rows}
