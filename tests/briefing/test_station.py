"""The Topic on the page: language and direction said, drafts named in both languages, all of it without the network."""

import re

import pytest

from fleet.languages import BRIEFED
from handover.briefing.actions import choose_language
from handover.briefing.panel import topic_panel
from handover.walkround.queries import seen_of, station_of
from tests.briefing.conftest import ARABIC, GERMAN, reader_of, said_in
from tests.factories import an_act
from tests.pages.test_query_budgets import MOST
from tests.pages.test_query_budgets import asked as queries_of
from tests.playing import start
from tests.walkround.conftest import asked, look, press, text_of
from tests.walkround.test_topics import without_templates

DRAFT = "Draft translation, not yet approved; the English text counts."
ENTWURF = "Entwurf einer Übersetzung, noch nicht freigegeben; es gilt der englische Text."
MUSAWWADA = "مسودة ترجمة لم تُعتمد بعد؛ النص الإنجليزي هو المعتمد."


def panel_of(walk):
    return topic_panel(seen_of(walk), station_of(walk, 2))


def shown(person, walk):
    return without_templates(text_of(look(person, "station", walk.pk, 2)))


def test_in_the_customers_language_with_its_direction(isla, pickup):
    reader_of(pickup, "ar")
    said = shown(isla, pickup)
    told = said.split("data-told ")[1].split("</div>")[0]
    assert told.startswith('lang="ar" dir="rtl"')
    assert ARABIC[1] in told
    assert re.search(r'value="understood"[^>]*lang="ar" dir="rtl"', said)


def test_the_english_is_one_press_away(isla, pickup):
    reader_of(pickup, "de")
    said = shown(isla, pickup)
    summary = said.split("data-english>")[1].split("</details>")[0]
    assert "In English" in summary
    assert 'lang="en" dir="ltr">Shut both valves before driving.' in summary


def test_in_english_it_stands_once(isla, pickup):
    said = shown(isla, pickup)
    assert "data-english hidden>" in said
    assert "Maren: I understand" in said
    assert DRAFT not in said


@pytest.mark.parametrize(("language", "own"), [("de", ENTWURF), ("ar", MUSAWWADA)])
def test_a_draft_says_so_in_both_languages(isla, pickup, language, own):
    reader_of(pickup, language)
    said = shown(isla, pickup)
    assert f'lang="{language}" dir="{"rtl" if language == "ar" else "ltr"}">{own}' in said
    assert f'lang="en" dir="ltr">{DRAFT}' in said


def test_what_is_approved_says_nothing_of_drafts(booked, isla, approved):
    walk = start(booked, "pickup", isla)
    reader_of(walk, "de")
    said = shown(isla, walk)
    assert GERMAN[1] in said
    assert DRAFT not in said
    assert ENTWURF not in said


def test_no_draft_passes_as_approved(pickup):
    panel = panel_of(pickup)
    for view in (panel.due, *panel.later):
        silent = [saying for saying in view.sayings if not saying.note]
        assert {saying.words.state for saying in silent} <= {"english", "approved"}


def test_what_nobody_wrote_is_shown_in_english_and_says_so(isla, pickup):
    reader_of(pickup, "fr")
    said = shown(isla, pickup)
    assert 'data-told lang="en" dir="ltr"' in said
    assert "Pas encore traduit ; le texte anglais fait foi." in said
    assert "Not translated yet; the English text counts." in said


def test_six_languages_are_offered_by_their_own_names(isla, pickup):
    said = shown(isla, pickup)
    for language in BRIEFED:
        button = rf'value="{language.code}" lang="{language.code}" dir="{language.direction}"[^>]*>{language.name}<'
        assert re.search(button, said)


def test_the_choice_is_open_before_the_first_topic_and_shut_after(isla, pickup):
    assert 'id="language" data-part open' in shown(isla, pickup)
    choose_language(pickup, language="de", act=an_act(isla))
    said = shown(isla, pickup)
    assert 'id="language" data-part open' not in said
    assert 'aria-pressed="true">Deutsch' in said


def test_who_heard_a_topic_has_chosen(isla, pickup):
    assert panel_of(pickup).asks_language
    press(isla, "hear-topic", pickup.pk, 2, asked(pickup, "Gas valves"), outcome="understood")
    assert not panel_of(pickup).asks_language


def test_what_can_hurt_offers_the_customers_word_or_none(isla, pickup):
    said = shown(isla, pickup)
    assert 'value="understood"' in said
    assert 'value="declined"' in said
    assert 'value="explained"' not in said
    assert 'value="shown"' not in said


def test_what_cannot_may_be_told_by_the_host(isla, pickup):
    press(isla, "hear-topic", pickup.pk, 2, asked(pickup, "Gas valves"), outcome="understood")
    said = shown(isla, pickup)
    assert all(f'value="{word}"' in said for word in ("understood", "explained", "shown", "declined"))


@pytest.mark.parametrize(
    ("outcome", "due"), [("shown", "Gas valves"), ("declined", "Gas valves"), ("understood", None)]
)
def test_a_safety_topic_comes_again_until_it_is_understood(isla, pickup, outcome, due):
    for title, word in (("Gas valves", outcome), ("Vents", "explained")):
        press(isla, "hear-topic", pickup.pk, 2, asked(pickup, title), outcome=word)
    panel = panel_of(pickup)
    assert (panel.due and panel.due.ask.title) == due


def test_the_page_holds_every_topic_in_every_language(isla, pickup, valves):
    """Without a signal a tablet goes through all of them, in any language."""
    said_in(valves, "nl")
    said = text_of(look(isla, "station", pickup.pk, 2))
    for view in (panel_of(pickup).due, *panel_of(pickup).later):
        for saying in view.sayings:
            assert f'data-sha256="{saying.sha256}" data-understand="{saying.understand}">' in said
            assert saying.words.text in said
    assert said.count("<template data-language=") == 2 * len(BRIEFED)
    assert said.count('<template data-when="next">') == 1
    assert said.count('<template data-when="settled">') == 1


def test_every_form_says_which_words_it_was_pressed_under(isla, pickup):
    reader_of(pickup, "ar")
    said = text_of(look(isla, "station", pickup.pk, 2))
    due = panel_of(pickup).due
    assert f'name="language" value="ar"><input type="hidden" name="text_sha256" value="{due.said.sha256}"' in said
    assert said.count('data-kind="topic"') == 2
    assert said.count('name="seconds" value=""') == 2


def test_who_may_not_answer_reads_only(callum, pickup):
    said = shown(callum, pickup)
    assert "Gas valves" in said
    assert 'data-kind="topic"' not in said
    assert 'data-kind="language"' not in said


def test_six_languages_cost_no_more_questions(as_isla, pickup, valves):
    one = queries_of(as_isla, f"/walk/{pickup.pk}/station/2/")
    for language in ("fr", "es", "nl"):
        said_in(valves, language)
    assert queries_of(as_isla, f"/walk/{pickup.pk}/station/2/") == one <= MOST


def test_what_was_skipped_and_declined_is_named_before_signing(isla, pickup):
    press(isla, "hear-topic", pickup.pk, 2, asked(pickup, "Gas valves"), outcome="declined")
    said = text_of(look(isla, "sign-walk", pickup.pk))
    assert "Gas valves: declined" in said
    assert "Vents: skipped, not spoken about" in said
