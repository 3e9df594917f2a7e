"""Saved views that name a person go with the name, once nothing else is found by it."""

from collections.abc import Iterable

from handover.rental.models import Rental
from handover.search.folding import compact, folded
from handover.search.keys import Way, beginning_with
from handover.search.kinds import Kind
from handover.search.models import SavedView, SearchRow, SearchWord

SHORTEST = 3


def said_of(rental: Rental) -> str:
    """All that is found of a rental, and how its customer is reached, folded. Ask before it is erased."""
    texts = SearchRow.objects.filter(rental=rental).values_list("text", flat=True)
    reached = [rental.customer.email, rental.customer.phone]
    return " ".join(["", *(folded(text) for text in (*texts, *reached)), compact(rental.customer.phone)])


def forget_views(said: str) -> int:
    """Remove each view with a word that was said of the erased and by which nothing is found now; how many."""
    gone = [view for view in SavedView.objects.all() if any(_is_gone(word, said) for word in _words(view))]
    return SavedView.objects.filter(pk__in=[view.pk for view in gone]).delete()[0]


def _words(view: SavedView) -> Iterable[str]:
    words = {*folded(view.name).split(), *folded(view.phrase).split(), compact(view.phrase)}
    return (word for word in words if len(word) >= SHORTEST)


def _is_gone(word: str, said: str) -> bool:
    return word in said and not any(_is_found(word, way) for way in (Way.NUMBER, Way.PHRASE))


def _is_found(word: str, way: Way) -> bool:
    ranges = (beginning_with(kind, way, word) for kind in Kind)
    return any(SearchWord.objects.filter(key__gte=low, key__lt=high).exists() for low, high in ranges)
