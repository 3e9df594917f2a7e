"""What a program could not decide waits on a page: tried again or set aside, both by a person and in the ledger."""

import json
from typing import Any
from uuid import uuid5

import pytest
from django.http import HttpResponse
from django.utils import timezone

from handover.rental.models import Rental
from handover.tablet.models import Receipt
from handover.walkround.actions import walk_id_of
from handover.walkround.models import CheckAnswer, Count, WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from shared.ledger.models import Entry
from shared.ledger.personal import in_words
from tests.tablet.conftest import Tablet, asked, signed_in


@pytest.fixture
def held(two: Tablet, isla: Person, pickup: WalkRound) -> Receipt:
    """Two straps counted by Isla, whose right was gone when it arrived."""
    entry = two.says("count", pickup, asked(pickup, "straps"), present="2")
    Person.objects.filter(pk=isla.pk).update(role="coordinator")
    assert two.told(entry) == ["held"]
    return Receipt.objects.get()


def press(person: Person, what: str, *receipts: Receipt, **said: Any) -> HttpResponse:
    sent = {"key": str(uuid7()), "receipt": [str(receipt.pk) for receipt in receipts], **said}
    return signed_in(person).post(f"/tablet/held/{what}/", sent)  # type: ignore[return-value]


def page(person: Person) -> str:
    return signed_in(person).get("/tablet/held/").content.decode().replace("&#x27;", "'")


def test_the_page_says_what_by_whom_and_why(held: Receipt, ruth: Person) -> None:
    shown = page(ruth)
    for words in (
        "Count, Straps, 2 Gas locker",
        "Isla Macrae",
        "sent by Isla Macrae",
        "A fleet coordinator cannot do this.",
    ):
        assert words in shown
    assert "<li><b>2</b></li>" in shown


def test_the_day_board_leads_to_it(held: Receipt, ruth: Person, maeve: Person) -> None:
    board = "/branch/inverlark/2026-08-14/"
    assert "1 kept for a person" in signed_in(ruth).get(board).content.decode()
    assert "kept for a person" not in signed_in(maeve).get(board).content.decode()


def test_nothing_waits(ruth: Person) -> None:
    assert "Nothing waits here." in page(ruth)


def test_of_another_branch_nothing_is_seen_and_nothing_done(held: Receipt, ida: Person) -> None:
    assert "Straps" not in page(ida)
    assert press(ida, "try", held).status_code == 302
    assert Receipt.objects.get().settled == ""


def test_who_may_not_only_looks(held: Receipt, maeve: Person) -> None:
    assert "Straps" in page(maeve)
    assert "Try again" not in page(maeve)
    assert press(maeve, "aside", held, reason="No.").status_code == 403


def test_tried_by_who_may_it_is_theirs(held: Receipt, ruth: Person) -> None:
    assert press(ruth, "try", held)["Location"] == "/tablet/held/"
    counted = Count.objects.get()
    assert (counted.pk, counted.present, counted.by) == (held.pk, 2, ruth)
    receipt = Receipt.objects.get()
    assert (receipt.settled, receipt.settled_by) == ("tried", ruth)
    assert Entry.objects.get(kind="entry.tried_again").subject == held.pk


def test_it_stays_its_authors_where_the_author_may_again(held: Receipt, isla: Person, ruth: Person) -> None:
    Person.objects.filter(pk=isla.pk).update(role="host")
    press(ruth, "try", held)
    assert (Count.objects.get().by, Count.objects.get().at) == (isla, held.at)


def test_the_tablet_hears_that_it_is_written_after_all(held: Receipt, two: Tablet, ruth: Person) -> None:
    press(ruth, "try", held)
    assert two.told(json.loads(held.body)) == ["duplicate"]


def test_tried_in_vain_it_says_why_and_stays(held: Receipt, ruth: Person) -> None:
    WalkRound.objects.update(finished_at=timezone.now())
    answer = press(ruth, "try", held)
    assert answer.status_code == 422
    assert "This pickup is signed and closed." in answer.content.decode()
    assert Receipt.objects.get().settled == ""


def test_set_aside_needs_a_reason(held: Receipt, ruth: Person) -> None:
    answer = press(ruth, "aside", held, reason=" ")
    assert "Say why it is set aside" in answer.content.decode()
    assert press(ruth, "aside", held, reason="Counted again by hand.").status_code == 302
    receipt = Receipt.objects.get()
    assert (receipt.settled, receipt.reason, receipt.body != "") == ("set_aside", "Counted again by hand.", True)
    assert in_words(json.loads(Entry.objects.get(kind="entry.set_aside").payload)["reason"]) == "Counted again by hand."
    assert not Count.objects.exists()


def test_pressed_twice_is_one(held: Receipt, ruth: Person) -> None:
    key = str(uuid7())
    assert [press(ruth, "try", held, key=key).status_code for _ in range(2)] == [302, 302]
    assert Entry.objects.filter(kind="entry.tried_again").count() == 1


def test_of_two_who_see_to_it_one_is_told(held: Receipt, ruth: Person, callum: Person) -> None:
    from handover.acting import CannotBe
    from handover.tablet.held import set_aside
    from tests.factories import an_act

    press(ruth, "try", held)
    with pytest.raises(CannotBe, match="Ruth Aldane has seen to this already"):
        set_aside(held, reason="No", act=an_act(ruth))


def test_a_claim_that_is_not_proven_says_so(two: Tablet, ruth: Person, pickup: WalkRound) -> None:
    two.send(two.says("count", pickup, asked(pickup, "straps"), present="1", author=str(ruth.pk)))
    assert "said to be Ruth Aldane, not proven" in page(ruth)


def test_a_whole_walk_round_is_tried_in_the_order_in_which_it_was_told(
    two: Tablet, booked: Rental, isla: Person, ruth: Person
) -> None:
    """Its beginning was held, so nothing after it could be written; once it begins, all is."""
    leg = booked.legs.get()
    walk_id = walk_id_of(leg, "pickup")
    drain = "11111111-1111-7111-8111-111111111111"
    begin = two.says("begin", walk_id, leg.pk, station=None, fields={"kind": "pickup"})
    check = two.says("check", walk_id, drain, word="good")
    remark = two.says("remark", walk_id, station=None, text="Rain.")
    Person.objects.filter(pk=isla.pk).update(role="coordinator")
    assert two.told(begin, check, remark) == ["held"] * 3
    answer = press(ruth, "try", *Receipt.objects.all())
    assert "This check is not asked on this walk-round." in answer.content.decode()
    assert [row.settled for row in Receipt.objects.order_by("seq")] == ["tried", "", "tried"]
    assert WalkRound.objects.get().remarks.get().text == "Rain."


def test_a_drawn_signature_is_named_and_not_written_out(
    two: Tablet, isla: Person, ruth: Person, pickup: WalkRound
) -> None:
    entry = two.says("hand-over", pickup, station=None, name_customer="Maren", strokes_customer="[[1]]", shown="{}")
    Person.objects.filter(pk=isla.pk).update(role="coordinator")
    two.send(entry)
    assert "<li>Signature of the customer: <b>drawn</b></li>" in page(ruth)
    assert "[[1]]" not in page(ruth)


def test_what_is_chosen_and_no_key(held: Receipt, ruth: Person) -> None:
    sent = {"key": str(uuid7()), "receipt": ["x", ""]}
    assert signed_in(ruth).post("/tablet/held/try/", sent).status_code == 302


def test_how_many_queries(
    held: Receipt, two: Tablet, ruth: Person, pickup: WalkRound, django_assert_max_num_queries: Any
) -> None:
    for number in range(3):
        two.send(two.says("count", uuid5(pickup.pk, str(number)), pickup.pk, present="1"))
    client = signed_in(ruth)
    with django_assert_max_num_queries(8):
        client.get("/tablet/held/")


def test_every_answer_of_a_held_walk_stays_as_it_was_told(held: Receipt) -> None:
    assert not CheckAnswer.objects.exists()
    assert json.loads(held.body)["fields"] == {"present": "2"}
