"""What is asked of the search: the phrase, and what narrows it. From an address, from a saved view, back into one."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode
from uuid import UUID

from babel.dates import get_month_names
from django.conf import settings
from django.utils.translation import get_language, gettext_lazy
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.acting import CannotBe
from handover.days_said import check_order, day_said
from handover.dispute.models import Dispute
from handover.rental.models import Rental
from handover.search.folding import folded
from handover.search.kinds import NEEDS, Kind
from handover.search.phrase import NoSuchDay, NoSuchYear, Read, read
from handover.search.sources import Label
from shared.access.models import Person
from shared.dates import locale_of

LONGEST = 200
NARROWS = ("kind", "branch", "start", "end", "state")
DISPUTE = "dispute-"
STATES: tuple[tuple[str, Label], ...] = (
    *((state.value, state.label) for state in Rental.State),
    (DISPUTE + Dispute.State.OPEN, gettext_lazy("Dispute open")),
    (DISPUTE + Dispute.State.DECIDED, gettext_lazy("Dispute decided")),
)


@dataclass(frozen=True, slots=True)
class Asked:
    """`branches` are those looked in, of the person's own; `kinds` those that the person may see and asked for."""

    read: Read
    kinds: tuple[Kind, ...]
    branches: frozenset[UUID]
    start: date | None
    end: date | None
    state: str
    said: Mapping[str, str]

    @property
    def is_empty(self) -> bool:
        return not self.said

    @property
    def kind(self) -> Kind | None:
        """The one asked for."""
        return Kind(self.said["kind"]) if "kind" in self.said else None

    @property
    def query(self) -> str:
        """As it stands in an address."""
        return urlencode(self.said)

    def only(self, kind: Kind) -> str:
        return urlencode({**self.said, "kind": kind.value})


def asked_of(said: Mapping[str, str], person: Person, own: Iterable[Branch], *, today: date) -> Asked:
    """Raises CannotBe at the field for what cannot be, LookupError for a branch or a kind that is not the person's."""
    phrase = _phrase(said.get("q", ""))
    start, end = day_said(said.get("start", ""), "start"), day_said(said.get("end", ""), "end")
    if start and end:
        check_order(start, end)
    state = said.get("state", "")
    if state and state not in dict(STATES):
        raise LookupError(state)
    return Asked(
        read=_read(phrase, today),
        kinds=_of_state(_kinds(said.get("kind", ""), person), state, phrase),
        branches=_branches(said.get("branch", ""), own),
        start=start,
        end=end,
        state=state,
        said={name: text for name in ("q", *NARROWS) if (text := " ".join(said.get(name, "").split()))},
    )


def _phrase(text: str) -> str:
    if "\0" in text:
        raise CannotBe(
            _("A zero byte is in this text and cannot be looked for. Pasting may have added it: type it."), "q"
        )
    if len(text) > LONGEST:
        raise CannotBe(
            _("At most %(most)s letters can be looked for; these are %(count)s. A few words of it are enough.")
            % {"most": LONGEST, "count": len(text)},
            "q",
        )
    if text.strip() and not folded(text):
        raise CannotBe(_("There is no letter and no figure in “%(text)s” to look for.") % {"text": text.strip()}, "q")
    return text


def _read(phrase: str, today: date) -> Read:
    try:
        return read(phrase, today=today, months=_months())
    except NoSuchYear as problem:
        raise CannotBe(
            _("%(year)s is no year of a rental. Write the day as 2026-08-18.") % {"year": problem}, "q"
        ) from problem
    except NoSuchDay as problem:
        raise CannotBe(_("%(text)s is no day. Write it as 2026-08-18.") % {"text": phrase.strip()}, "q") from problem


def _months() -> dict[str, int]:
    """By their names in the language of the page and in the house's, in full and short."""
    languages = dict.fromkeys((settings.LANGUAGE_CODE, get_language() or settings.LANGUAGE_CODE))
    locales = [locale_of(language) for language in languages]
    return {
        folded(name): number
        for locale in locales for width in ("wide", "abbreviated") for context in ("format", "stand-alone")
        for number, name in get_month_names(width, context, locale).items()
    }  # fmt: skip


def kinds_for(person: Person) -> tuple[Kind, ...]:
    return tuple(kind for kind in Kind if kind not in NEEDS or person.may(NEEDS[kind]))


def _kinds(said: str, person: Person) -> tuple[Kind, ...]:
    every = kinds_for(person)
    if not said:
        return every
    if said not in {kind.value for kind in every}:
        raise LookupError(said)
    return (Kind(said),)


def _of_state(kinds: tuple[Kind, ...], state: str, phrase: str) -> tuple[Kind, ...]:
    """Without a phrase a state lists what has it, and not every paper of a rental; that of a dispute only disputes."""
    if state.startswith(DISPUTE):
        return tuple(kind for kind in kinds if kind is Kind.DISPUTE)
    if state and not phrase.strip() and Kind.RENTAL in kinds:
        return (Kind.RENTAL,)
    return kinds


def _branches(code: str, own: Iterable[Branch]) -> frozenset[UUID]:
    found = frozenset(branch.pk for branch in own if not code or branch.code == code)
    if not found:
        raise LookupError(code)
    return found
