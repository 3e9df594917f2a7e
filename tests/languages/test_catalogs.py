"""German and French say everything that the code says in English, and what is compiled is what is written."""

import re
from functools import cache

import polib
import pytest
from babel.messages.catalog import Catalog
from django.utils.translation import override, pgettext

from shared import catalogs

LANGUAGES = catalogs.languages()
PLACES = re.compile(r"%\(\w+\)[sd]|%%|\{\w*\}|<[a-z/][^>]*>")
in_each = pytest.mark.parametrize("language", LANGUAGES)


@cache
def found() -> Catalog:
    return catalogs.found()


@cache
def po(language: str) -> polib.POFile:
    return polib.pofile(str(catalogs.path_of(language)))


def texts(entry: polib.POEntry) -> list[tuple[str, str]]:
    """Each English text with its translation: both forms where there are two."""
    if not entry.msgid_plural:
        return [(entry.msgid, entry.msgstr)]
    return [(entry.msgid, entry.msgstr_plural[0]), (entry.msgid_plural, entry.msgstr_plural[1])]


def test_german_and_french() -> None:
    assert LANGUAGES == ["de", "fr"]


@in_each
def test_every_text_of_the_code_is_in_it(language: str) -> None:
    written = {(entry.msgctxt, entry.msgid) for entry in po(language)}
    lacking = [text for text in found() if text.id and (text.context, _singular(text.id)) not in written]
    assert not lacking, [text.id for text in lacking]


def _singular(words: str | tuple[str, ...]) -> str:
    return words if isinstance(words, str) else words[0]


@in_each
def test_nothing_is_in_it_that_the_code_does_not_say(language: str) -> None:
    said = {(text.context, _singular(text.id)) for text in found() if text.id}
    assert not [entry.msgid for entry in po(language) if (entry.msgctxt, entry.msgid) not in said]


@in_each
def test_every_text_is_translated(language: str) -> None:
    assert not [entry.msgid for entry in po(language) if not all(string for _words, string in texts(entry))]


@in_each
def test_none_is_a_guess(language: str) -> None:
    assert not [entry.msgid for entry in po(language) if entry.fuzzy]
    assert not po(language).obsolete_entries()


@in_each
def test_the_places_of_figures_and_elements_are_kept(language: str) -> None:
    pairs = [pair for entry in po(language) for pair in texts(entry)]
    assert not [words for words, said in pairs if sorted(PLACES.findall(words)) != sorted(PLACES.findall(said))]


@in_each
def test_room_between_pieces_is_kept(language: str) -> None:
    """A text that ends in a space is joined to another."""
    pairs = [pair for entry in po(language) for pair in texts(entry)]
    assert not [words for words, said in pairs if words[-1:].isspace() != said[-1:].isspace()]


@in_each
def test_what_is_compiled_is_what_is_written(language: str) -> None:
    compiled = catalogs.path_of(language).with_suffix(".mo").read_bytes()
    assert compiled == catalogs.as_mo(catalogs.read(language)), "make messages compiles it"


@in_each
def test_it_keeps_the_voice(language: str) -> None:
    """No exclamation marks; the glossary stands at its head."""
    assert not [said for entry in po(language) for _words, said in texts(entry) if "!" in said]
    assert "Walk-round" in po(language).header


@pytest.mark.parametrize(("language", "unit"), [("en-gb", "Unit 407"), ("de", "Fahrzeug 407"), ("fr", "Véhicule 407")])
def test_a_text_in_each(language: str, unit: str) -> None:
    from fleet.models import Unit

    with override(language):
        assert str(Unit(number="407")) == unit


def test_a_word_that_means_two_things_has_its_context() -> None:
    with override("de"):
        assert pgettext("so many units on this day", "in") == "rein"
