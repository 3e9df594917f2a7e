"""Saved views that name a person go with the name, once nothing else is found by it."""

from dataclasses import dataclass

from handover.rental.models import Rental
from handover.search.folding import LONGEST, compact, folded
from handover.search.keys import Way, beginning_with
from handover.search.kinds import Kind
from handover.search.models import SavedView, SearchRow, SearchWord
from handover.search.sources import NAME

SHORTEST = 3
ENDING = 2  # letters that a name takes on in a sentence


@dataclass(frozen=True, slots=True)
class Said:
    """What names a person, word by word, and all that is found of a rental, with blanks and without."""

    names: frozenset[str]
    loose: str
    tight: str


def said_of(rental: Rental) -> Said:
    """Ask before it is erased."""
    texts = list(SearchRow.objects.filter(rental=rental).values_list("source", "text"))
    reached = [rental.customer.email, rental.customer.phone]
    named = [*reached, *(text for source, text in texts if source == NAME)]
    names = {word for text in named for word in folded(text).split()}
    spoken = "\n".join([*reached, *(text for _source, text in texts)])
    return Said(frozenset(name for name in names if len(name) >= SHORTEST), folded(spoken), compact(spoken))


def forget_views(said: Said) -> int:
    """Remove each view that names the erased, or asks for what they said, and finds nobody by it now; how many."""
    gone = [view.pk for view in SavedView.objects.all() if _names(view, said) or _asks_for(view, said)]
    return SavedView.objects.filter(pk__in=gone).delete()[0]


def _names(view: SavedView, said: Said) -> bool:
    words = {*folded(view.name).split(), *folded(view.phrase).split()}
    meant = ((word, name) for word in words for name in said.names if _is_name(word, name))
    return any(not (_is_found(word) or (word.startswith(name) and _is_found(name))) for word, name in meant)


def _is_name(word: str, name: str) -> bool:
    """A part of it, or the name with an ending."""
    return (len(word) >= SHORTEST and word in name) or (word.startswith(name) and len(word) <= len(name) + ENDING)


def _asks_for(view: SavedView, said: Said) -> bool:
    loose, tight = folded(view.phrase), compact(view.phrase)
    return len(tight) >= SHORTEST and (loose in said.loose or tight in said.tight) and not _is_found(view.phrase)


def _is_found(text: str) -> bool:
    """Anywhere, as far as beginnings are kept."""
    ways = ((Way.NUMBER, compact(text)[:LONGEST]), (Way.PHRASE, folded(text)[:LONGEST]))
    ranges = [beginning_with(kind, way, said) for kind in Kind for way, said in ways]
    return any(SearchWord.objects.filter(key__gte=low, key__lt=high).exists() for low, high in ranges)
