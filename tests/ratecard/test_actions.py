"""Begun, edited, published, deleted: each told in the ledger, and a published card never changes again."""

import json
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.http import Http404

from fleet.models import Branch
from handover.acting import CannotBe
from handover.ratecard.actions import begin_draft, delete_draft, import_draft, keep_draft, publish
from handover.ratecard.flat import cells_of
from handover.rental.freezing import rate_card_on
from handover.rental.models import RateCard, RateCardStands
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.factories import RateCardFactory, an_act
from tests.ratecard.conftest import FULL

pytestmark = pytest.mark.django_db
OCTOBER = datetime(2026, 10, 5, 9, tzinfo=UTC)
JANUARY = date(2027, 1, 4)


def told(kind: str) -> dict[str, Any]:
    payload: dict[str, Any] = json.loads(Entry.objects.get(kind=f"rate_card.{kind}").payload)
    return payload


def kept(draft: RateCard, by: Person, **cells: str) -> RateCard:
    changes = {path.replace("__", "."): value for path, value in cells.items()}
    return keep_draft(
        card=draft, cells=cells_of(FULL) | changes, valid_from=JANUARY, note="Season 2027", act=an_act(by)
    )  # fmt: skip


def test_a_draft_begins_as_the_newest(card: RateCard, inverlark: Branch, maeve: Person) -> None:
    draft = begin_draft(branch=inverlark, act=an_act(maeve, at=OCTOBER))
    assert (draft.number, draft.draft, draft.rules) == (8, True, FULL)
    assert draft.valid_from == date(2026, 10, 5)
    assert told("begun") == {"number": 8, "copied_from": 7}


def test_the_first_draft_of_a_branch_is_empty(inverlark: Branch, maeve: Person) -> None:
    assert begin_draft(branch=inverlark, act=an_act(maeve)).rules == {}


def test_another_draft_is_not_what_is_copied(draft: RateCard, inverlark: Branch, maeve: Person) -> None:
    kept(draft, maeve, fuel__service_fee="9.00")
    assert begin_draft(branch=inverlark, act=an_act(maeve)).rules == FULL


def test_a_replay_begins_one(card: RateCard, inverlark: Branch, maeve: Person) -> None:
    act = an_act(maeve)
    assert begin_draft(branch=inverlark, act=act) == begin_draft(branch=inverlark, act=act)
    assert RateCard.objects.filter(draft=True).count() == 1


def test_a_draft_does_not_count(draft: RateCard, inverlark: Branch) -> None:
    assert rate_card_on(inverlark, date(2027, 6, 1)).number == 7


def test_the_ledger_says_what_each_value_was(draft: RateCard, maeve: Person) -> None:
    kept(draft, maeve, fuel__price_per_litre="1.75", fuel__service_fee="")
    assert told("changed")["changed"] == {
        "fuel.price_per_litre": {"was": "1.62", "now": "1.75"},
        "fuel.service_fee": {"was": "0.00", "now": None},
        "note": {"was": "", "now": "Season 2027"},
    }


def test_a_section_without_a_value_is_absent(draft: RateCard, maeve: Person) -> None:
    assert "admin" not in kept(draft, maeve, admin__per_fine="").rules


def test_what_cannot_be_is_not_kept(draft: RateCard, maeve: Person) -> None:
    with pytest.raises(CannotBe, match="is not a plain number") as refused:
        kept(draft, maeve, fuel__price_per_litre="cheap")
    assert refused.value.field == "fuel.price_per_litre"
    draft.refresh_from_db()
    assert draft.rules == FULL


def test_published_it_counts_from_its_day(draft: RateCard, inverlark: Branch, maeve: Person) -> None:
    publish(card=draft, act=an_act(maeve, at=OCTOBER))
    assert rate_card_on(inverlark, date(2027, 1, 3)).number == 7
    assert rate_card_on(inverlark, JANUARY).number == 8
    assert told("published")["valid_from"] == "2027-01-04"


def test_a_replay_publishes_once(draft: RateCard, maeve: Person) -> None:
    act = an_act(maeve, at=OCTOBER)
    publish(card=draft, act=act)
    assert publish(card=draft, act=act).draft is False
    assert Entry.objects.filter(kind="rate_card.published").count() == 1


@pytest.mark.parametrize("day", [date(2026, 10, 4), date(2025, 1, 1)])
def test_no_card_counts_from_a_past_day(draft: RateCard, maeve: Person, day: date) -> None:
    RateCard.objects.filter(pk=draft.pk).update(valid_from=day)
    with pytest.raises(CannotBe, match="is past"):
        publish(card=draft, act=an_act(maeve, at=OCTOBER))


def test_today_is_the_branchs_today(draft: RateCard, maeve: Person) -> None:
    """Half past eleven at night in London is the next day in UTC plus one."""
    RateCard.objects.filter(pk=draft.pk).update(valid_from=date(2026, 10, 5))
    late = datetime(2026, 10, 5, 22, 30, tzinfo=UTC)
    assert publish(card=draft, act=an_act(maeve, at=late)).draft is False


def test_two_cards_do_not_begin_on_one_day(draft: RateCard, maeve: Person) -> None:
    RateCardFactory(number=9, valid_from=JANUARY)
    with pytest.raises(CannotBe, match="Rate card 9, Inverlark counts from that day already"):
        publish(card=draft, act=an_act(maeve, at=OCTOBER))


def test_a_draft_that_cannot_be_priced_by_is_not_published(draft: RateCard, maeve: Person) -> None:
    RateCard.objects.filter(pk=draft.pk).update(rules={"fuel": {"policy": "same_to_same"}})
    with pytest.raises(CannotBe, match="price_per_litre"):
        publish(card=draft, act=an_act(maeve, at=OCTOBER))


def test_published_it_is_neither_edited_nor_published_nor_deleted(card: RateCard, maeve: Person) -> None:
    with pytest.raises(CannotBe, match="is published and stays as it is"):
        kept(card, maeve)
    with pytest.raises(CannotBe, match="is published"):
        publish(card=card, act=an_act(maeve))
    with pytest.raises(CannotBe, match="is published"):
        delete_draft(card=card, act=an_act(maeve))


def test_the_row_itself_refuses(card: RateCard) -> None:
    card.rules, card.draft = {}, True
    with pytest.raises(RateCardStands, match="stays as it is"):
        card.save()
    with pytest.raises(RateCardStands):
        card.delete()
    card.refresh_from_db()
    assert card.rules == FULL


def test_a_draft_is_deleted_once(draft: RateCard, maeve: Person) -> None:
    act = an_act(maeve)
    delete_draft(card=draft, act=act)
    delete_draft(card=draft, act=act)
    assert list(RateCard.objects.values_list("number", flat=True)) == [7]
    assert told("deleted")["number"] == 8


def test_deleted_meanwhile_is_said(draft: RateCard, maeve: Person) -> None:
    RateCard.objects.filter(pk=draft.pk).delete()
    with pytest.raises(CannotBe, match="was deleted meanwhile"):
        kept(draft, maeve)


def test_an_import_is_a_draft(card: RateCard, inverlark: Branch, maeve: Person) -> None:
    act, cells = an_act(maeve), cells_of(FULL)
    made = [
        import_draft(branch=inverlark, cells=cells, valid_from=JANUARY, note="n" * 200, act=act) for _ in range(2)
    ]  # fmt: skip
    assert made[0] == made[1]
    assert (made[0].number, made[0].draft, len(made[0].note)) == (8, True, 120)


def test_who_sees_may_not_write(draft: RateCard, inverlark: Branch, ruth: Person, ida: Person) -> None:
    with pytest.raises(NotAllowed):
        begin_draft(branch=inverlark, act=an_act(ruth))
    with pytest.raises(NotAllowed):
        kept(draft, ruth)
    for act in (publish, delete_draft):
        with pytest.raises(NotAllowed):
            act(card=draft, act=an_act(ruth))
    with pytest.raises(Http404):
        publish(card=draft, act=an_act(ida))
