"""The sheet keeps every language as it stood when the walk-round began."""

import json

from fleet.models import TopicText
from handover.briefing.texts import english, words_in, words_of_sha256, words_sha256
from handover.walkround.sheet import TopicWords, sheet_from_json
from tests.briefing.conftest import ARABIC, GERMAN, asks_of
from tests.playing import start


def test_all_languages_are_in_it_with_their_state(pickup):
    ask = asks_of(pickup)["Gas valves"]
    assert ask.others == (TopicWords("ar", *ARABIC, "draft"), TopicWords("de", *GERMAN, "draft"))
    assert ask.code == "gas_valves"


def test_an_approved_one_says_so(booked, isla, approved, arabic):
    ask = asks_of(start(booked, "pickup", isla))["Gas valves"]
    assert {words.language: words.state for words in ask.others} == {"ar": "draft", "de": "approved"}


def test_english_changed_after_approval_is_a_draft_in_it(booked, isla, approved, valves):
    valves.text = "Shut three valves."
    valves.save()
    (words,) = asks_of(start(booked, "pickup", isla))["Gas valves"].others
    assert words.state == "draft"


def test_a_later_change_rewrites_nothing(pickup):
    TopicText.objects.update(text="Anders.")
    pickup.sheet.refresh_from_db()
    assert asks_of(pickup)["Gas valves"].others[1].text == GERMAN[1]


def test_a_sheet_of_before_has_none(pickup):
    data = json.loads(pickup.sheet.text)
    for station in data["stations"]:
        for topic in station["topics"]:
            del topic["others"], topic["code"]
    asks = [topic for station in sheet_from_json(json.dumps(data)).stations for topic in station.topics]
    assert [(ask.others, ask.code) for ask in asks] == [((), ""), ((), "")]


def test_words_are_found_by_language_and_by_digest(pickup):
    ask = asks_of(pickup)["Gas valves"]
    assert words_in(ask, "ar").title == ARABIC[0]
    assert words_in(ask, "fr") == english(ask)
    assert words_of_sha256(ask, words_sha256(words_in(ask, "de"))).language == "de"
    assert words_of_sha256(ask, "0" * 64) is None


def test_a_draft_and_an_approved_text_have_two_digests():
    draft, approved = (TopicWords("de", *GERMAN, state) for state in ("draft", "approved"))
    assert words_sha256(draft) != words_sha256(approved)
