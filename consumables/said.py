"""A sentence of the pure modules: words apart from figures, so that a page can say it in another language. Pure.

`say` is imported as `_`, under which makemessages finds the words; str() gives them in the house language.
"""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Said:
    """words as in gettext, with %(name)s where a figure belongs (and %% for a percent sign where there are figures)."""

    words: str
    figures: tuple[tuple[str, "str | Said"], ...] = ()

    def __str__(self) -> str:
        return self.in_language(str)

    def in_language(self, translate: Callable[[str], str]) -> str:
        """The sentence by a translator such as django.utils.translation.gettext."""
        if not self.figures:
            return translate(self.words)
        put = {name: part.in_language(translate) if isinstance(part, Said) else part for name, part in self.figures}
        return translate(self.words) % put


def say(words: str, **figures: "str | Said") -> Said:
    return Said(words, tuple(figures.items()))
