"""What is signed and kept says word for word what was shown, and in which language."""

import pytest

from handover.record.document import content_from
from handover.record.topic_rows import topic_rows
from handover.walkround.actions import hear_topic
from handover.walkround.document import found_on, shown_digest, walk_document
from tests.briefing.conftest import ARABIC, GERMAN, asks_of
from tests.factories import an_act
from tests.record import sample
from tests.record.conftest import rendered
from tests.record.test_render import text_of


def told(walk, title="Gas valves"):
    stations = walk_document(found_on(walk))["stations"]
    return next(topic for station in stations for topic in station["topics"] if topic["title"] == title)


def hear(walk, by, language, outcome="understood"):
    item = asks_of(walk)["Gas valves"].id
    hear_topic(walk, item=item, outcome=outcome, language=language, seconds=19, act=an_act(by))


def test_both_languages_stand_in_it(isla, pickup):
    hear(pickup, isla, "de")
    english, german = told(pickup)["texts"]
    assert (english["language"], english["state"]) == ("en", "english")
    assert (german["title"], german["text"], german["state"]) == (*GERMAN, "draft")
    assert told(pickup)["text_sha256"] == german["sha256"]


def test_heard_in_english_there_is_one(isla, pickup):
    hear(pickup, isla, "en")
    assert [text["language"] for text in told(pickup)["texts"]] == ["en"]


def test_skipped_it_still_says_what_would_have_been_told(pickup):
    skipped = told(pickup, "Vents")
    assert (skipped["outcome"], skipped["language"], skipped["text_sha256"]) == ("skipped", "", "")
    assert [text["text"] for text in skipped["texts"]] == ["Never cover them."]


@pytest.mark.parametrize("language", ["de", "ar"])
def test_the_signed_digest_is_another_in_another_language(isla, pickup, language):
    hear(pickup, isla, "en")
    before = shown_digest(pickup)
    hear(pickup, isla, language)
    assert shown_digest(pickup) != before


def test_the_signed_digest_is_another_for_other_words(isla, pickup):
    hear(pickup, isla, "de")
    before = shown_digest(pickup)
    pickup.topicheards.update(text_sha256="0" * 64)
    assert shown_digest(pickup) != before


def test_severity_is_said_in_three_words(pickup):
    assert (told(pickup)["severity"], told(pickup, "Vents")["severity"]) == ("safety", "damage")


def a_record(*topics):
    document = sample.pickup_record()
    document["walk_rounds"][0]["stations"][1]["topics"] = list(topics)
    return document


def in_arabic(state="draft"):
    topic = sample.topic("Gas valves")
    arabic = sample.topic_text(ARABIC[0], "ar", state, ARABIC[1]) | {"sha256": "cd" * 32}
    return topic | {"language": "ar", "text_sha256": "cd" * 32, "texts": [sample.topic_text("Gas valves"), arabic]}


def row_of(topic):
    (row,) = topic_rows(content_from(a_record(topic)))
    return row


def test_the_record_sets_the_english_beside_what_was_shown():
    row = row_of(in_arabic())
    assert (row.title, row.other.title, row.language.direction) == ("Gas valves", ARABIC[0], "rtl")
    assert row.said == "Confirmed, Maren Oduya, in Arabic, on the screen for 24\u00a0s"
    assert row.shown == "SHA-256 cdcd cdcd cdcd cdcd"


def test_a_draft_is_named_in_both_languages():
    assert row_of(in_arabic()).notes == (
        "Draft translation, not yet approved; the English text counts.",
        "مسودة ترجمة لم تُعتمد بعد؛ النص الإنجليزي هو المعتمد.",
    )
    assert row_of(in_arabic("approved")).notes == ("", "")


def test_other_words_than_the_sheets_are_said_to_be_others():
    row = row_of(in_arabic() | {"text_sha256": "ef" * 32})
    assert row.shown == "other words than these, SHA-256 efef efef efef efef"


@pytest.mark.parametrize(
    ("outcome", "word"), [("explained", "Explained"), ("shown", "Shown"), ("declined", "Declined")]
)
def test_each_outcome_has_its_word(outcome, word):
    assert row_of(sample.topic("Radio", "comfort", outcome)).said.startswith(f"{word}, Maren Oduya")


def test_what_was_skipped_is_not_printed_as_told():
    assert topic_rows(content_from(a_record(sample.topic("Radio", "comfort", "skipped")))) == []


def test_arabic_is_printed_without_a_gap():
    """A letter that no face can draw would be an error; the words are there to be copied out again."""
    printed = text_of(rendered(a_record(in_arabic(), sample.topic("Radio", "comfort", "skipped"))))
    assert "What was explained" in printed
    assert "Draft translation, not yet approved" in printed
    assert "What was shown in Arabic was a draft translation: the English text counts." in " ".join(printed.split())
    assert all(word in printed for word in ("صمامات", "القيادة", "رائحة"))
