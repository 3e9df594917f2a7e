"""Texts as they are compared: without case, accents, blanks and signs. Pure.

What is found by its beginning is kept under each of its beginnings: a phrase then is one range of an index that is in
the order of bytes, which SQLite and PostgreSQL agree on.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator

LONGEST = 48  # letters of a beginning that are kept
SHORTEST_PART = 3  # letters that are left of a name when it is found by a part inside it
BARRED = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i"})
# Written without blanks between words: each sign may begin one.
UNSPACED = re.compile(r"[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af\uf900-\ufaff]")


def folded(text: str) -> str:
    """Ödün-Lark, 3rd → odun lark 3rd. Empty where there is neither letter nor figure."""
    return " ".join(_folded_word(word) for word, _place in words_of(text))


def compact(text: str) -> str:
    """LRK 407, lrk-407 → lrk407."""
    return folded(text).replace(" ", "")


def words_of(text: str) -> Iterator[tuple[str, int]]:
    """Each run of letters and figures as it is written, and where it begins."""
    return ((found.group(), found.start()) for found in re.finditer(r"[^\W_]+(?:[’'][^\W_]+)*", text) if
            _folded_word(found.group()))  # fmt: skip


def _folded_word(word: str) -> str:
    apart = unicodedata.normalize("NFKD", word).casefold().translate(BARRED)
    return "".join(sign for sign in apart if sign.isalnum())


def number_beginnings(text: str) -> set[str]:
    """LK-20418: lk20418 and 20418. A number is typed with blanks, hyphens, or without what comes first."""
    words = folded(text).split()
    return {"".join(words[place:])[:LONGEST] for place in range(len(words))}


def phrase_beginnings(text: str) -> set[str]:
    """From each word on."""
    return {whole[place:][:LONGEST] for whole in [folded(text)] for place in _starts(whole)}


def name_beginnings(name: str) -> set[str]:
    """From each word on, with the words before it behind; and from inside a word, while a part of it is left."""
    words = folded(name).split()
    turned = {" ".join((*words[place:], *words[:place]))[:LONGEST] for place in range(len(words))}
    parts = {word[place:][:LONGEST] for word in words for place in range(1, len(word) - SHORTEST_PART + 1)} | {
        word[place:][:LONGEST] for word in words for place in range(1, len(word)) if UNSPACED.match(word[place])
    }
    return turned | parts


def _starts(whole: str) -> Iterator[int]:
    for place, sign in enumerate(whole):
        if sign != " " and (place == 0 or whole[place - 1] == " " or UNSPACED.match(sign)):
            yield place


def around(text: str, phrase: str, *, room: int) -> tuple[str, str, str]:
    """What stands before the place that matched, the place, what stands after; at most `room` letters on each side.

    With no such place all that fits is before it.
    """
    wanted = folded(phrase).split()
    start, end = _place(text, wanted) if wanted else (0, 0)
    if not end:
        return _shortened(text, 2 * room), "", ""
    before = text[:start] if start <= room else f"…{text[start - room : start]}"
    return before, text[start:end], _shortened(text[end:], room)


def _place(text: str, wanted: list[str]) -> tuple[int, int]:
    spoken = [(_folded_word(word), place, place + len(word)) for word, place in words_of(text)]
    for first in range(len(spoken) - len(wanted) + 1):
        run = spoken[first : first + len(wanted)]
        if _says(run, wanted):
            return run[0][1], run[-1][2]
    return 0, 0


def _says(run: list[tuple[str, int, int]], wanted: list[str]) -> bool:
    *whole, last = zip((word for word, _start, _end in run), wanted, strict=True)
    return all(word == said for word, said in whole) and last[1] in last[0]


def _shortened(text: str, room: int) -> str:
    return text if len(text) <= room else f"{text[:room]}…"


def holds(text: str, phrase: str) -> bool:
    """Whether a text says a phrase that is longer than a kept beginning."""
    return folded(phrase) in folded(text) or compact(phrase) in compact(text)


def every_beginning(numbers: Iterable[str], names: Iterable[str], words: Iterable[str]) -> tuple[set[str], set[str]]:
    """Those that are looked up without blanks, and those with them."""
    tight = {beginning for number in numbers for beginning in number_beginnings(number)}
    loose = {beginning for name in names for beginning in name_beginnings(name)}
    return tight, loose | {beginning for text in words for beginning in phrase_beginnings(text)}
