"""The demo's Topics in every language: complete, with every figure of the English, in the script of the language."""

import json
import re
from pathlib import Path

import pytest

from fleet.demo import topic_texts
from fleet.demo.layouts import load_layouts
from fleet.demo.topic_texts import figures_in, translations
from fleet.languages import BRIEFED, BY_CODE, TRANSLATED
from fleet.models import TopicText
from handover.briefing.drawings import drawing_of, drawn
from handover.briefing.figures import figures_apart
from handover.briefing.phrases import PHRASES

CONTENT = Path(topic_texts.__file__).parent / "content"
PLACES = json.loads((CONTENT / "topics.json").read_text(encoding="utf-8"))
ENGLISH = {row["code"]: row for rows in PLACES.values() for row in rows}
PLACE = re.compile(r"\{\w+\}")
ARABIC = re.compile("[\u0600-\u06ff]")
CASES = [(language, code) for language in TRANSLATED for code in ENGLISH]


def test_six_languages_by_their_own_names():
    names = [language.name for language in BRIEFED]
    assert names == ["English", "Deutsch", "Français", "Español", "Nederlands", "العربية"]
    assert [language.code for language in BRIEFED if language.direction == "rtl"] == ["ar"]


@pytest.mark.parametrize("language", TRANSLATED, ids=lambda language: language.code)
def test_every_topic_is_there_and_no_other(language):
    assert set(translations(language)) == set(ENGLISH)


@pytest.mark.parametrize(("language", "code"), CASES, ids=lambda case: getattr(case, "code", case))
def test_every_place_for_a_figure_and_every_figure_is_kept(language, code):
    said, english = translations(language)[code], ENGLISH[code]
    assert sorted(PLACE.findall(said["text"])) == sorted(PLACE.findall(english["text"]))
    assert figures_apart(english["title"] + english["text"], said["title"] + said["text"]) == ([], [])


@pytest.mark.parametrize(("language", "code"), CASES, ids=lambda case: getattr(case, "code", case))
def test_it_is_a_text_of_its_own(language, code):
    said, english = translations(language)[code], ENGLISH[code]
    assert said["title"].strip()
    assert said["text"] != english["text"]
    assert len(said["text"]) > len(english["text"]) / 2
    assert bool(ARABIC.search(said["text"])) == (language.direction == "rtl")


@pytest.mark.parametrize("code", ENGLISH)
def test_every_topic_has_a_drawing_of_ours(code):
    assert drawing_of(code) == f"parts/topics/{code}.svg"
    drawing = (Path("templates") / drawing_of(code)).read_text(encoding="utf-8")
    assert 'aria-hidden="true"' in drawing
    assert "<text" not in drawing


def test_no_drawing_is_without_its_topic():
    assert drawn() == set(ENGLISH)
    assert drawing_of("towing") == ""


@pytest.mark.parametrize("code", BY_CODE)
def test_what_stands_around_a_topic_is_in_every_language(code):
    phrases = PHRASES[code]
    said = {phrases.understand, phrases.draft, phrases.missing, phrases.safety}
    assert len(said) == 4
    assert all(said)
    assert code == "en" or not said & {PHRASES["en"].understand, PHRASES["en"].draft, PHRASES["en"].safety}


@pytest.fixture
def skerry(db):
    return load_layouts()["skerry"]


def test_loaded_they_are_drafts(skerry):
    texts = TopicText.objects.filter(topic__station__layout=skerry)
    assert texts.count() == len(CASES)
    assert not any(text.is_approved or text.is_behind for text in texts.select_related("topic"))


def test_figures_are_written_as_the_language_writes_them(skerry):
    said = {
        text.language: text.text for text in TopicText.objects.filter(topic__code="size", topic__station__layout=skerry)
    }
    assert "2,85 m hoch" in said["de"]
    assert "5,99 m de long" in said["fr"]
    assert "2.85 م" in said["ar"]
    assert "3\u202f500 kg" in said["nl"]


def test_either_emergency_number_is_named(skerry):
    said = {
        text.language: text.text
        for text in TopicText.objects.filter(topic__code="emergency", topic__station__layout=skerry)
    }
    assert "999 oder 112" in said["de"]
    assert "999 o 112" in said["es"]
    assert "999 أو 112" in said["ar"]


def test_a_width_is_cut_to_the_centimetre(skerry):
    skerry.width_mm = 2059
    assert figures_in(BY_CODE["de"], skerry, "112")["width"] == "2,05 m"


def test_a_second_run_keeps_what_was_approved(skerry, maeve, inverlark):
    text = TopicText.objects.select_related("topic").filter(language="nl").first()
    text.approved_sha256, text.approved_by, text.approved_at = text.both_sha256, maeve, "2026-08-01T10:00:00Z"
    text.save()
    load_layouts()
    assert TopicText.objects.select_related("topic").get(pk=text.pk).is_approved
