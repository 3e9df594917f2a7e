"""A language made of the house's own texts: each in brackets, with strange letters, a third longer.

What stands on a page outside brackets never went through the catalogs; what is cut off has no room for German.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from gettext import NullTranslations

from django.utils.translation import trans_real

CODE = "en-xa"
LONGER = 0.35
OPEN, CLOSE = "[!!! ", " !!!]"
LETTERS = str.maketrans("aceinorsuyzACEINOSUYZ", "áçéíñóŕšúýžÁÇÉÍÑÓŠÚÝŽ")
WORDS = "ẅöŕđš ţħáţ ğřôŵ "
# Places of figures, entities and elements stay as they are.
KEPT = re.compile(r"(%\(\w+\)[sd]|%[sd%]|\{\w*\}|&\w+;|<[^>]+>)")
SEPARATOR = "\x04"
WRITTEN_DAYS = "how a day is written"


def pseudo(text: str) -> str:
    """[!!! Wöŕđš ţħáţ ğřôŵ !!!]"""
    if not text.strip():
        return text
    strange = "".join(
        piece if number % 2 else piece.translate(LETTERS) for number, piece in enumerate(KEPT.split(text))
    )
    letters = len(KEPT.sub("", text))
    extra = (WORDS * (1 + letters // 10))[: round(letters * LONGER)].rstrip()
    return f"{OPEN}{strange}{' ' if extra else ''}{extra}{CLOSE}"


class Pseudo(NullTranslations):
    """What Django asks of a language."""

    def gettext(self, message: str) -> str:
        context, separator, text = message.rpartition(SEPARATOR)
        return message if separator and context == WRITTEN_DAYS else pseudo(text)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)

    def language(self) -> str:
        return CODE

    def to_language(self) -> str:
        return CODE


@contextmanager
def spoken_instead_of(language: str) -> Iterator[None]:
    """Whoever chose that language reads this one."""
    before = dict(trans_real._translations)
    trans_real._translations |= dict.fromkeys((language, CODE), Pseudo())
    try:
        yield
    finally:
        trans_real._translations.clear()
        trans_real._translations |= before
