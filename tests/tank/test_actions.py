"""Keeping a fill, putting a curve to use, taking it back."""

import pytest
from django.http import Http404

from consumables.curves import curves_on
from consumables.models import Fill, TankCurve
from fleet.models import Instrument, Unit
from handover.acting import CannotBe
from handover.tank.actions import PumpReceipt, record_fill, use_curve, use_straight_line
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.consumables.made import D
from tests.factories import NINE, an_act
from tests.tank.conftest import Filling

HALF_TO_FULL = PumpReceipt(D("0.5"), D(1), D("37.00"), to_click=True, cost=D("59.94"))


def test_a_fill_is_kept_with_its_entry(unit_407: Unit, diesel: Instrument, isla: Person) -> None:
    fill = record_fill(unit=unit_407, instrument=diesel, receipt=HALF_TO_FULL, act=an_act(isla))
    assert (fill.litres, fill.currency, fill.by) == (37, "GBP", isla)
    entry = Entry.objects.get(subject=fill.pk)
    assert (entry.chain, entry.kind) == (unit_407.pk, "tank.filled")
    assert '"litres":"37"' in entry.payload


def test_sent_twice_is_kept_once(unit_407: Unit, diesel: Instrument, isla: Person) -> None:
    act = an_act(isla)
    for _ in range(2):
        record_fill(unit=unit_407, instrument=diesel, receipt=HALF_TO_FULL, act=act)
    assert Fill.objects.count() == 1


@pytest.mark.parametrize(
    ("receipt", "field"),
    [
        (PumpReceipt(D("1.1"), D(1), D(30)), "before"),
        (PumpReceipt(D("0.5"), D("-0.1"), D(30)), "after"),
        (PumpReceipt(D("0.5"), D(1), D(0)), "litres"),
        (PumpReceipt(D("0.5"), D(1), D(95)), "litres"),
        (PumpReceipt(D("0.5"), D(1), D(40), cost=D(-1)), "cost"),
    ],
)
def test_a_fill_that_cannot_be(
    unit_407: Unit, diesel: Instrument, isla: Person, receipt: PumpReceipt, field: str
) -> None:  # fmt: skip
    with pytest.raises(CannotBe) as problem:
        record_fill(unit=unit_407, instrument=diesel, receipt=receipt, act=an_act(isla))
    assert problem.value.field == field
    assert not Fill.objects.exists()


def test_a_gauge_that_did_not_rise_is_kept_as_a_doubt(unit_407: Unit, diesel: Instrument, isla: Person) -> None:
    record_fill(unit=unit_407, instrument=diesel, receipt=PumpReceipt(D("0.5"), D("0.5"), D(30)), act=an_act(isla))
    assert Fill.objects.count() == 1


def test_a_stranger_and_a_host(unit_407: Unit, diesel: Instrument, ida: Person, isla: Person) -> None:
    with pytest.raises(Http404):
        record_fill(unit=unit_407, instrument=diesel, receipt=HALF_TO_FULL, act=an_act(ida))
    with pytest.raises(NotAllowed):
        use_curve(unit=unit_407, code="diesel", seen=0, act=an_act(isla))
    with pytest.raises(NotAllowed):
        use_straight_line(unit=unit_407, code="diesel", act=an_act(isla))


def test_the_learned_curve_counts_from_today(unit_407: Unit, filling: Filling, maeve: Person) -> None:
    filling(30)
    row = use_curve(unit=unit_407, code="diesel", seen=30, act=an_act(maeve))
    assert row.learned_from == 30
    assert row.valid_from == NINE.date()
    assert curves_on(unit_407, NINE.date())["diesel"].curve.capacity == 90
    assert len(row.covariance) == len(row.litres) == len(row.standard_uncertainty)


def test_a_receipt_that_came_in_meanwhile(unit_407: Unit, filling: Filling, maeve: Person) -> None:
    filling(30)
    with pytest.raises(CannotBe, match="came in since"):
        use_curve(unit=unit_407, code="diesel", seen=29, act=an_act(maeve))


def test_without_receipts_there_is_no_curve(unit_407: Unit, diesel: Instrument, maeve: Person) -> None:
    with pytest.raises(CannotBe, match="No receipts"):
        use_curve(unit=unit_407, code=diesel.code, seen=0, act=an_act(maeve))
    with pytest.raises(CannotBe, match="straight line already"):
        use_straight_line(unit=unit_407, code=diesel.code, act=an_act(maeve))


def test_no_such_tank(unit_407: Unit, diesel: Instrument, maeve: Person) -> None:
    with pytest.raises(CannotBe, match="no such tank"):
        use_curve(unit=unit_407, code="odometer", seen=0, act=an_act(maeve))


def test_back_to_the_straight_line(unit_407: Unit, filling: Filling, maeve: Person) -> None:
    filling(10)
    use_curve(unit=unit_407, code="diesel", seen=10, act=an_act(maeve))
    row = use_straight_line(unit=unit_407, code="diesel", act=an_act(maeve))
    assert not curves_on(unit_407, NINE.date())["diesel"].is_learned
    assert TankCurve.objects.count() == 2
    assert Entry.objects.get(subject=row.pk).kind == "tank.straight_used"


def test_pressed_twice_is_one_curve(unit_407: Unit, filling: Filling, maeve: Person) -> None:
    filling(10)
    act = an_act(maeve)
    assert {use_curve(unit=unit_407, code="diesel", seen=10, act=act).pk for _ in range(2)} == {act.key}
