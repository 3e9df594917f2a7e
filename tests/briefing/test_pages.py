"""The coordinator's pages: every Topic in every language, both texts side by side, approval by a press."""

import pytest

from fleet.models import TopicText
from tests.briefing.conftest import said_in
from tests.factories import TopicFactory
from tests.pages.test_query_budgets import asked as queries_of
from tests.walkround.conftest import look, press, text_of


def test_the_table_says_how_each_stands(maeve, approved, arabic):
    said = text_of(look(maeve, "briefing"))
    assert "1 of 2 approved" in said
    assert said.count("Approved</span>") == 1
    assert said.count("Draft</span>") == 1
    assert said.count("Not written</span>") == 8


def test_english_changed_since_is_named(maeve, approved, valves):
    valves.text = "Shut three valves."
    valves.save()
    assert "Draft, English changed" in text_of(look(maeve, "briefing"))


def test_both_texts_stand_side_by_side_each_in_its_language(maeve, valves, arabic):
    said = text_of(look(maeve, "translations", "skerry", "ar"))
    assert f'lang="ar" dir="rtl"><h3>{arabic.title}</h3><p>{arabic.text}</p>' in said
    assert f"<p>{valves.text}</p>" in said
    assert "Nobody has written it in this language." in said


def test_approve_is_a_press(maeve, german):
    answer = press(maeve, "approve-translation", german.pk, read_sha256=german.both_sha256)
    assert answer.headers["Location"] == f"/briefing/skerry/de/#text-{german.pk}"
    said = text_of(look(maeve, "translations", "skerry", "de"))
    assert "Maeve Corry" in said
    assert "Back to a draft" in said


def test_what_was_not_read_is_said_at_the_text(maeve, german):
    answer = press(maeve, "approve-translation", german.pk, read_sha256="0" * 64)
    assert answer.status_code == 422
    assert "A text was changed since this page was shown." in text_of(answer)
    assert not TopicText.objects.get().is_approved


def test_back_to_a_draft_is_a_press(maeve, approved):
    press(maeve, "take-translation-back", approved.pk)
    assert not TopicText.objects.get().is_approved


def test_twice_back_is_said(maeve, approved):
    answers = [press(maeve, "take-translation-back", approved.pk) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 422]


def test_figures_that_differ_are_shown(maeve, german):
    TopicText.objects.update(text="Ventile schließen, S. 41.")
    said = text_of(look(maeve, "translations", "skerry", "de"))
    assert "The figures differ." in said
    assert "Only in the translation: 41." in said


@pytest.mark.parametrize("language", ["en", "fi"])
def test_there_is_no_page_of_another_language(maeve, german, language):
    assert look(maeve, "translations", "skerry", language).status_code == 404


def test_there_is_no_page_of_another_layout(maeve):
    assert look(maeve, "translations", "machair", "de").status_code == 404


@pytest.mark.parametrize("person", ["isla", "ruth", "callum"])
def test_it_is_for_who_sets_up(person, german, request):
    assert look(request.getfixturevalue(person), "briefing").status_code == 403


def test_without_layouts_it_says_what_to_do(maeve):
    assert "Enter the Layout first." in text_of(look(maeve, "briefing"))


def test_a_retired_topic_is_not_asked_for(maeve, valves):
    valves.retired = True
    valves.save()
    assert "Gas valves" not in text_of(look(maeve, "briefing"))


def test_more_topics_ask_no_more_questions(client, maeve, german, valves):
    client.force_login(maeve)
    few = queries_of(client, "/briefing/")
    for number in range(12):
        said_in(TopicFactory(station=valves.station, code=f"more-{number}"), "de")
    assert queries_of(client, "/briefing/") == few
    assert queries_of(client, "/briefing/skerry/de/") <= few + 1
