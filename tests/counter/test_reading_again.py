"""Filled up before settling: the later reading counts, with the pump's receipt."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from handover.acting import CannotBe
from handover.counter.actions import read_again
from handover.counter.actions.reading_again import Receipt
from handover.counter.models import Refill
from handover.counter.what_if import what_ifs
from handover.statement.models import Statement
from handover.walkround.models import Reading
from shared.access.models import Person
from tests.counter.conftest import LATER
from tests.counter.reading import due, inputs, priced_again
from tests.factories import BACK_AT, an_act

pytestmark = pytest.mark.django_db
PUMPED = BACK_AT + timedelta(hours=2, minutes=20)


def again(statement: Statement, by: Person, typed: str, litres: str = "34", at: datetime = PUMPED) -> Refill:
    gauge = Reading.objects.filter(walk__kind="return", item__code="diesel").first()
    assert gauge is not None
    receipt = Receipt(Decimal(litres), at)
    return read_again(statement.rental, item=gauge.item_id, typed=typed, receipt=receipt, act=an_act(by, at=LATER))


def test_full_again_nothing_is_due(statement: Statement, callum: Person) -> None:
    again(statement, callum, "82")
    assert "FUEL" not in due(priced_again(statement.rental, callum))


def test_it_saves_what_was_said(statement: Statement, callum: Person) -> None:
    (offer,) = [one for one in what_ifs(inputs(statement)) if one.kind == "refuel"]
    assert (offer.quantity, offer.saving) == ("31.5", Decimal("18.63"))
    again(statement, callum, "79", "31.5")
    assert statement.total - priced_again(statement.rental, callum).total == offer.saving


def test_half_filled_is_half_due(statement: Statement, callum: Person) -> None:
    """82 - 60 = 22, less 3, is 19 L: all of it prepaid."""
    again(statement, callum, "60", "12.5")
    assert due(priced_again(statement.rental, callum))["FUEL"] == "0.00"


def test_both_readings_stay(statement: Statement, callum: Person) -> None:
    again(statement, callum, "82")
    values = Reading.objects.filter(walk__kind="return", item__code="diesel").values_list("value", flat=True)
    assert list(values) == [Decimal("47.5"), Decimal(82)]


def test_gauge_and_pump_that_differ_are_asked_about(statement: Statement, callum: Person) -> None:
    refill = again(statement, callum, "82", "20")
    assert refill.reading.doubt == "The gauge rose by 34.5 L, the pump says 20 L. Has it settled?"
    assert "pump" not in again(statement, callum, "82", "1").reading.doubt


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"litres": "0"}, "litres"),
        ({"litres": "90.5"}, "litres"),
        ({"at": BACK_AT}, "pumped_at"),
        ({"at": LATER + timedelta(minutes=1)}, "pumped_at"),
        ({"typed": "99"}, "typed"),
    ],
)
def test_what_cannot_be(statement: Statement, callum: Person, said: dict[str, Any], field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        again(statement, callum, **{"typed": "82", **said})
    assert refused.value.field == field


def test_not_after_it_is_settled(settled: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match="is settled"):
        again(settled, callum, "82")
