"""Looking through, signing and the end of a walk-round."""

import json

import pytest
from django.urls import reverse

from handover.rental.models import Rental
from handover.statement.models import Signature
from handover.walkround.document import shown_digest
from handover.walkround.models import CheckAnswer, Hold, Remark, WalkRound
from shared.ids import uuid7
from tests.playing import STROKES
from tests.walkround.conftest import asked, look, press, text_of, work_of

DRAWN = json.dumps(STROKES)


@pytest.fixture
def heard(isla, pickup):
    """A pickup with its safety topic heard: nothing but the signatures is wanting."""
    press(isla, "hear-topic", pickup.pk, 2, asked(pickup, "Gas valves"), outcome="understood")
    return pickup


def sign(person, walk, **said):
    drawn = {"strokes_customer": DRAWN, "strokes_staff": DRAWN, "name_customer": "Maren Oduya"}
    seen = {"seen_sha256": shown_digest(walk)}
    return press(person, "hand-over", walk.pk, **(drawn | seen | said))


def test_both_sign_and_it_is_gone(isla, heard, booked):
    response = sign(isla, heard)
    assert response["Location"] == reverse("rental", args=[booked.pk])
    booked.refresh_from_db()
    assert booked.state == Rental.State.OUT
    assert booked.frozen["rate_card"]["number"] == 7
    assert [row.role for row in Signature.objects.all()] == ["customer", "staff"]


def test_sent_twice_is_signed_once(isla, heard):
    key, seen = str(uuid7()), shown_digest(heard)
    for _ in range(2):
        assert sign(isla, heard, seen_sha256=seen, key=key).status_code == 302
    assert Signature.objects.count() == 2


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"strokes_staff": ""}, "Nothing is drawn yet. Sign on the line."),
        ({"strokes_staff": "{broken"}, "The signature did not arrive whole. Sign again."),
        ({"strokes_staff": '{"x": 1}'}, "The signature did not arrive whole. Sign again."),
        ({"name_customer": " "}, "A signature needs the name of who signs."),
        ({"seen_sha256": "0" * 64}, "Something was changed since this page was shown."),
    ],
)
def test_one_thing_wrong_signs_nothing_and_keeps_what_was_drawn(isla, heard, said, sentence):
    response = sign(isla, heard, **said)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert "&quot;x&quot;: 10" in text_of(response)
    assert not Signature.objects.exists()
    assert WalkRound.objects.get(pk=heard.pk).finished_at is None


def test_a_safety_topic_that_nobody_heard_keeps_the_keys_here(isla, pickup):
    response = sign(isla, pickup)
    assert response.status_code == 422
    assert "Keys stay here until these are understood: Gas valves." in text_of(response)
    assert not Signature.objects.exists()


def test_a_hold_stands_in_place_of_the_keys(isla, heard):
    press(isla, "answer-check", heard.pk, 2, asked(heard, "Smell of gas"), word="bad")
    said = work_of(look(isla, "sign-walk", heard.pk))
    assert Hold.objects.get().sentence in said
    assert "Hand over the keys" not in said
    assert sign(isla, heard).status_code == 422


def test_a_declined_topic_is_let_through_by_a_manager(isla, ruth, pickup):
    press(isla, "hear-topic", pickup.pk, 2, asked(pickup, "Gas valves"), outcome="declined")
    assert sign(isla, pickup).status_code == 422
    assert sign(ruth, pickup).status_code == 302


def test_the_page_names_what_is_open_and_what_is_not_as_it_should_be(isla, pickup):
    press(isla, "answer-check", pickup.pk, 2, asked(pickup, "Floor drain clear"), word="bad", note="leaves in it")
    press(isla, "take-reading", pickup.pk, 1, asked(pickup, "diesel"), state="not_read")
    press(isla, "count", pickup.pk, 2, asked(pickup, "straps"), present="1")
    said = text_of(look(isla, "sign-walk", pickup.pk))
    for words in (
        "1 Filler <small>1 reading, 1 check</small>", "Floor drain clear: not: leaves in it", "Diesel: not read",
        "Straps: 1 of 2",
    ):  # fmt: skip
        assert words in said


def test_the_digest_on_the_page_is_the_one_that_is_signed(isla, heard):
    assert f'value="{shown_digest(heard)}"' in text_of(look(isla, "sign-walk", heard.pk))


def test_what_the_customer_says_changes_the_digest_on_the_page(isla, heard):
    response = press(isla, "remark", heard.pk, htmx=True, text="The wiper squeaks.")
    assert "The wiper squeaks." in text_of(response)
    assert f'value="{shown_digest(heard)}" hx-swap-oob="true"' in text_of(response)
    assert sign(isla, heard).status_code == 302


def test_an_empty_remark_is_refused(isla, heard):
    response = press(isla, "remark", heard.pk, text=" ")
    assert response.status_code == 422
    assert "Nothing is written yet. Write what the customer says." in text_of(response)
    assert not Remark.objects.exists()


def test_a_return_ends_at_the_statement(callum, back, away):
    response = press(callum, "take-back", back.pk)
    assert response["Location"] == reverse("statement", args=[away.pk])
    away.refresh_from_db()
    assert away.state == Rental.State.BACK


def test_a_pickup_is_not_taken_back_unsigned(isla, heard):
    response = press(isla, "take-back", heard.pk)
    assert response.status_code == 422
    assert "Still to sign: customer and staff." in text_of(response)


@pytest.mark.parametrize("act", ["hand-over", "take-back", "remark"])
def test_another_branch_ends_nothing(ida, pickup, act):
    assert press(ida, act, pickup.pk, text="Mine.").status_code == 404


@pytest.mark.parametrize("act", ["take-back", "remark"])
def test_the_return_bay_ends_no_pickup(callum, heard, act):
    assert press(callum, act, heard.pk, text="Mine.").status_code == 403


def test_the_return_bay_hands_nothing_over(callum, heard):
    assert sign(callum, heard).status_code == 403
    assert not Signature.objects.exists()


def test_a_finished_pickup_is_only_looked_at(isla, back):
    said = work_of(look(isla, "sign-walk", back.before.pk))
    assert "<form" not in said
    assert "What was signed stays as it is." in said


@pytest.mark.parametrize("kind", ["pickup", "return"])
def test_the_page_asks_the_database_at_most_nineteen_times(client, isla, back, kind, django_assert_max_num_queries):
    walk = back if kind == "return" else back.before
    CheckAnswer.objects.create(walk=back, item_id=asked(back, "Smell of gas"), word="good", at=back.started_at, by=isla)
    client.force_login(isla)
    with django_assert_max_num_queries(19):
        client.get(reverse("sign-walk", args=[walk.pk]))
