"""Checks: words, holds, what was before, and what cannot be."""

import pytest

from handover.walkround.models import CheckAnswer, Hold
from tests.factories import an_act
from tests.walkround.conftest import asked, look, press, text_of


def answer(person, walk, code, word, **said):
    number = 2 if code in {"Smell of gas", "Floor drain clear"} else 1
    return press(person, "answer-check", walk.pk, number, asked(walk, code), word=word, **said)


@pytest.mark.parametrize("word", ["good", "bad", "not_inspected", "not_applicable"])
def test_four_words_are_four_values(isla, pickup, word):
    answer(isla, pickup, "Cap and flap", word)
    assert CheckAnswer.objects.get().word == word


def test_another_word_names_the_answers(isla, pickup):
    response = answer(isla, pickup, "Cap and flap", "maybe")
    assert response.status_code == 422
    assert "Press one of the answers: good, bad, not inspected, not applicable." in text_of(response)


def test_the_chosen_word_is_pressed(isla, pickup):
    response = answer(isla, pickup, "Cap and flap", "good", htmx=True)
    assert 'class="yes" aria-pressed="true">Good</button>' in text_of(response)


def test_a_change_says_what_it_was(isla, pickup):
    answer(isla, pickup, "Floor drain clear", "good")
    response = answer(isla, pickup, "Floor drain clear", "bad", htmx=True)
    assert "was: Clear, " in text_of(response)
    assert CheckAnswer.objects.count() == 2


def test_what_is_wrong_is_kept_in_words(isla, pickup):
    answer(isla, pickup, "Cap and flap", "bad", note="hinge bent")
    assert CheckAnswer.objects.get().note == "hinge bent"


def test_a_smell_stops_the_handover_in_place_of_the_way_on(isla, pickup):
    response = answer(isla, pickup, "Smell of gas", "bad", htmx=True)
    said = text_of(response)
    assert "<b>Gas smell: this unit stays. Valves shut, doors open, all out.</b>" in said
    assert "A manager can release it, with a reason." in said
    assert 'class="go"' not in said


def test_checked_again_and_good_needs_no_release(isla, pickup):
    answer(isla, pickup, "Smell of gas", "bad")
    answer(isla, pickup, "Smell of gas", "good")
    hold = Hold.objects.get()
    assert (hold.released_by, hold.reason) == (isla, "Checked again: none.")


def test_at_return_a_failed_check_does_not_stop_the_way_on(callum, back):
    response = answer(callum, back, "Smell of gas", "bad", htmx=True)
    assert 'class="go"' in text_of(response)


def test_a_manager_releases_with_a_reason(isla, ruth, pickup):
    answer(isla, pickup, "Smell of gas", "bad")
    hold = Hold.objects.get()
    press(ruth, "release-hold", hold.pk, reason="Aired, leak test passed.")
    hold.refresh_from_db()
    assert (hold.released_by, hold.reason) == (ruth, "Aired, leak test passed.")


def test_a_release_without_a_reason_is_refused_in_place(isla, ruth, pickup):
    answer(isla, pickup, "Smell of gas", "bad")
    response = press(ruth, "release-hold", Hold.objects.get().pk, htmx=True, reason=" ")
    assert response.status_code == 422
    assert "A release needs its reason" in text_of(response)


def test_a_host_releases_nothing(isla, pickup):
    answer(isla, pickup, "Smell of gas", "bad")
    assert press(isla, "release-hold", Hold.objects.get().pk, reason="I think so.").status_code == 403


def test_a_hold_of_another_branch_is_not_there(isla, ida, pickup):
    """Not even for who may release at their own; who may not is refused before it is looked for."""
    answer(isla, pickup, "Smell of gas", "bad")
    assert press(ida, "release-hold", Hold.objects.get().pk, reason="Fine.").status_code == 403
    ida.role = "manager"
    ida.save()
    assert press(ida, "release-hold", Hold.objects.get().pk, reason="Fine.").status_code == 404


def test_a_release_sent_twice_is_one(isla, ruth, pickup):
    answer(isla, pickup, "Smell of gas", "bad")
    key = str(an_act(ruth).key)
    for _ in range(2):
        assert press(ruth, "release-hold", Hold.objects.get().pk, reason="Aired.", key=key).status_code == 302


def test_what_is_offered_from_pickup_is_dashed_but_not_pressed(callum, isla, booked, back):
    drain = asked(back, "Floor drain clear")
    assert f'id="good-{drain}" class="yes" aria-pressed="false"' in text_of(look(callum, "station", back.pk, 2))
    CheckAnswer.objects.create(walk=back.before, item_id=drain, word="good", at=back.before.started_at, by=isla)
    assert f'id="good-{drain}" class="yes before" aria-pressed="false"' in text_of(look(callum, "station", back.pk, 2))
