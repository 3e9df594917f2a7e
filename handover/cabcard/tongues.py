"""Every text of a Cab card twice: in the customer's language, where the pages speak it, and in English beside it."""

from collections.abc import Callable
from dataclasses import dataclass

from django.conf import settings
from django.utils.translation import gettext as _
from django.utils.translation import override

from consumables.said import Said
from fleet.languages import ENGLISH, briefed_in
from shared.phrasebook import said

HOUSE = settings.LANGUAGE_CODE


@dataclass(frozen=True, slots=True)
class Both:
    """`english` is empty where the customer's own words are the English ones."""

    own: str
    english: str = ""


@dataclass(frozen=True, slots=True)
class Tongues:
    """`code` is the language of the pages that comes nearest to the customer's."""

    code: str
    customers: str

    def both(self, make: Callable[[], str]) -> Both:
        """What `make` says in each language that is active while it is called."""
        with override(HOUSE):
            english = make()
        if self.code == HOUSE:
            return Both(english)
        with override(self.code):
            own = make()
        return Both(own) if own == english else Both(own, english)

    def entered(self, text: str) -> Both:
        """Words that the operator entered in English, by the phrase book."""
        return self.both(lambda: said(text))

    def sentence(self, words: Said) -> Both:
        return self.both(lambda: words.in_language(_))

    @property
    def tag(self) -> str:
        """For the page's lang."""
        return "en-GB" if self.code == HOUSE else self.code

    @property
    def missing(self) -> str:
        """A plain sentence, in English, where the card has no text in the customer's language; empty where it has."""
        wanted = briefed_in(self.customers)
        if wanted is ENGLISH and self.customers.startswith("en"):
            return ""
        if self.both(lambda: _("Where things are")).english:
            return ""
        with override(HOUSE):
            return _(
                "The customer’s language is not English (%(code)s). This card has no text in it: go through it."
            ) % {"code": self.customers}


def tongues_for(language: str) -> Tongues:
    """The page language for a customer's: de for de-CH; English where the pages speak no other."""
    base = language.replace("_", "-").lower().partition("-")[0]
    spoken = next((code for code, _name in settings.LANGUAGES if code.partition("-")[0] == base), HOUSE)
    return Tongues(spoken, language)
