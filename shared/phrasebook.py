"""Sentences that code without Django says, or that were kept in the house language, in the language of the page.

What is kept as evidence stays English. Where it is shown, the phrase it was made from is found again, its figures are
taken out, and the phrase is said in the page's language. What is not known stays as it was written.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache, wraps
from typing import ParamSpec, TypeVar

from django.conf import settings
from django.utils.translation import get_language, gettext, override

P = ParamSpec("P")
R = TypeVar("R")

PLACE = re.compile(r"%\((\w+)\)s")
# A sentence ends before a capital, a figure or a quotation mark, not after an abbreviation or inside a figure.
BETWEEN_SENTENCES = re.compile(r"(?<=[.?]) +(?=\S)")
MOST_PARTS = 8

_known: list[str] = []


def learn(phrases: Iterable[str]) -> None:
    """Adds phrases with named places, "%(litres)s L short"; each room does so when Django starts."""
    _known.extend(phrase for phrase in phrases if re.search(r"[^\W\d_]", phrase))
    _patterns.cache_clear()


def known_phrases() -> tuple[str, ...]:
    return tuple(_known)


def said(text: str) -> str:
    """A text in the language of the page: a phrase, one with figures in it, or several sentences of both kinds."""
    if not text or is_house_language():
        return text
    return _whole(text) or "".join(_sentence_by_sentence(text))


def inside(label: str) -> str:
    """A label inside a sentence: without its capital, save in German, where nouns keep theirs."""
    return label if (get_language() or "").startswith("de") else label[:1].lower() + label[1:]


def in_house_language(function: Callable[P, R]) -> Callable[P, R]:
    """For what is kept as evidence: its words are the house's, whatever language the page of the moment has."""

    @wraps(function)
    def speaking(*args: P.args, **kwargs: P.kwargs) -> R:
        with override(settings.LANGUAGE_CODE):
            return function(*args, **kwargs)

    return speaking


def is_house_language() -> bool:
    return get_language() in {None, settings.LANGUAGE_CODE}


def _whole(text: str) -> str:
    """The text as one phrase; empty where it is none."""
    if (plain := gettext(text)) != text:
        return plain
    for phrase, pattern in _patterns():
        if match := pattern.fullmatch(text):
            return gettext(phrase) % {name: _word(value) for name, value in match.groupdict().items()}
    return ""


def _word(value: str) -> str:
    """What stood in a place: a figure, a name, or a phrase of its own."""
    return _whole(value) or value


def _sentence_by_sentence(text: str) -> Iterator[str]:
    """The longest run of sentences that is a phrase, then the rest; each with the space that follows it."""
    parts = BETWEEN_SENTENCES.split(text)
    place = 0
    while place < len(parts):
        for end in range(min(len(parts), place + MOST_PARTS), place, -1):
            piece = " ".join(parts[place:end])
            found = _whole(piece)
            if found or end == place + 1:
                yield (" " if place else "") + (found or piece)
                place = end
                break


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Each phrase with places in it; the one with most letters of its own first, which is the most exact."""
    phrases = sorted({phrase for phrase in _known if PLACE.search(phrase)}, key=lambda each: -len(PLACE.sub("", each)))
    return tuple((phrase, _pattern(phrase)) for phrase in phrases)


def _pattern(phrase: str) -> re.Pattern[str]:
    made, seen = "", set[str]()
    for number, piece in enumerate(PLACE.split(phrase)):
        if number % 2 == 0:
            made += re.escape(piece.replace("%%", "%"))
        else:
            made += f"(?P={piece})" if piece in seen else f"(?P<{piece}>.+?)"
            seen.add(piece)
    return re.compile(made, re.DOTALL)
