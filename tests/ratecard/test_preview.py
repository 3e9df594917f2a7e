"""What the last rentals would have come to under another card, line by line, without a write."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from handover.ratecard.preview import LAST, LineChange, RentalChange, preview
from handover.rental.models import RateCard, Rental
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from handover.walkround import actions
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import BACK_AT, NINE, RULES, RateCardFactory, RentalFactory, an_act
from tests.playing import item, read, sign, start

pytestmark = pytest.mark.django_db
LATER = BACK_AT + timedelta(hours=3)


@pytest.fixture
def statement(isla: Person, callum: Person) -> Statement:
    """31.5 L at 1.62 is 51.03; 107 minutes late is two hours at 25.00; one strap of two at 9.00, by its age 4.95."""
    rental: Rental = RentalFactory()
    _walk_out(rental, isla)
    _walk_back(rental, callum)
    rental.refresh_from_db()
    return draw_up(rental, act=an_act(callum, at=LATER))


def _walk_out(rental: Rental, by: Person) -> None:
    walk = start(rental, "pickup", by)
    actions.count(walk, item=item(walk, "straps").id, present=2, act=an_act(by))
    read(walk, by, NINE, diesel="82")
    for station in walk.sheet.data.stations:
        for topic in station.topics:
            actions.hear_topic(walk, item=topic.id, outcome="understood", seconds=20, act=an_act(by))
    sign(walk, by, NINE)
    actions.finish(walk, act=an_act(by))
    rental.refresh_from_db()


def _walk_back(rental: Rental, by: Person) -> None:
    at = BACK_AT + timedelta(minutes=107)
    walk = start(rental, "return", by, at=at, arrived_at=at)
    read(walk, by, at, diesel="47.5")
    actions.count(walk, item=item(walk, "straps").id, present=1, act=an_act(by, at=at))
    actions.finish(walk, act=an_act(by, at=at))


def draft(**rules: Any) -> RateCard:
    card: RateCard = RateCardFactory(number=8, draft=True, valid_from=date(2027, 1, 4), rules=RULES | rules)
    return card


def changed(card: RateCard) -> RentalChange:
    (row,) = preview(card).changed
    return row


def lines(card: RateCard) -> dict[str, tuple[Decimal | None, Decimal | None]]:
    return {line.title: (line.before, line.after) for line in changed(card).lines}


def test_the_same_card_changes_nothing(statement: Statement) -> None:
    seen = preview(draft())
    assert (seen.counted, seen.same, seen.changed, seen.refused) == (1, 1, [], [])
    assert seen.before == seen.after == statement.total


def test_only_the_line_that_changes_is_shown(statement: Statement) -> None:
    card = draft(fuel=RULES["fuel"] | {"price_per_litre": "2.00"})
    assert lines(card) == {"Diesel": (Decimal("51.03"), Decimal("63.00"))}
    assert changed(card).difference == preview(card).difference == Decimal("11.97")


def test_a_line_that_goes_and_a_line_that_comes(statement: Statement) -> None:
    card = draft(fuel=RULES["fuel"] | {"service_fee": "20.00"}, late=RULES["late"] | {"grace_min": 120})
    assert lines(card) == {"Refuelling": (None, Decimal("20.00")), "Late return": (Decimal("50.00"), None)}


def test_an_absent_section_charges_nothing(statement: Statement) -> None:
    empty = RateCardFactory(number=8, draft=True, rules={})
    assert {line.after for line in changed(empty).lines} == {None}
    assert changed(empty).after == statement.total - Decimal("101.03")


def test_the_price_of_equipment_is_the_drafts(statement: Statement) -> None:
    ((before, after),) = lines(draft(equipment={"prices": {"straps": "18.00"}})).values()
    assert before is not None
    assert after == before * 2


def test_a_price_that_only_the_old_card_had_falls_back_to_the_layouts(statement: Statement) -> None:
    frozen = statement.rental.frozen | {"rules": RULES | {"equipment": {"prices": {"straps": "9.00"}}}}
    Rental.objects.update(frozen=frozen)
    assert preview(draft()).changed == []


def test_what_cannot_be_priced_is_said_and_not_summed(statement: Statement) -> None:
    seen = preview(draft(fuel={"price_per_litre": "cheap"}))
    assert "is not a plain number" in seen.refused[0].problem
    assert (seen.before, seen.after) == (0, 0)


def test_the_hours_stay_those_of_the_rental(statement: Statement) -> None:
    """The branch opens another day now; what was promised then is compared."""
    statement.rental.branch.opening_hours.create(weekday=1, opens="08:00", closes="09:00")
    assert preview(draft()).changed == []


def test_the_latest_version_of_each_counts(statement: Statement) -> None:
    statement.pk, statement.version = uuid7(), 2
    statement.save(force_insert=True)
    assert preview(draft()).counted == 1


def test_the_last_fifty_in_a_fixed_number_of_queries(statement: Statement, django_assert_max_num_queries: Any) -> None:
    for number in range(LAST + 5):
        rental = Rental.objects.get(pk=statement.rental_id)
        rental.pk, rental.number = uuid7(), f"LK-9{number:03}"
        rental.save(force_insert=True)
        statement.pk, statement.rental = uuid7(), rental
        statement.save(force_insert=True)
    card = RateCard.objects.select_related("branch").get(pk=draft().pk)
    with django_assert_max_num_queries(5):
        assert preview(card).counted == LAST


def test_nothing_is_written(statement: Statement) -> None:
    before = list(Statement.objects.values()), list(Rental.objects.values())
    preview(draft(fuel=RULES["fuel"] | {"price_per_litre": "2.00"}))
    assert before == (list(Statement.objects.values()), list(Rental.objects.values()))


def test_no_statement_yet(booked: Rental) -> None:
    assert preview(draft()).counted == 0


def test_a_difference_of_a_line_that_was_not_there() -> None:
    assert LineChange("Fuel", None, Decimal("3.00")).difference == Decimal("3.00")
