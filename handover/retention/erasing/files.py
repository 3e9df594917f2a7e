"""Kept files: a rental gives one up; its bytes go once no other row needs them. The rows keep the names."""

from collections.abc import Iterable, Iterator
from typing import Any

from django.apps import apps
from django.db.models import Q
from django.utils import timezone

from handover.rental.models import Rental
from handover.retention.erasing.scope import Scope
from handover.retention.inventory import PLACES
from handover.retention.models import ErasedFile
from shared.files.store import remove

OTHER_USERS = (("handover.TurnaroundJob", ("photo",)), ("consumables.Fill", ("receipt_photo",)))
"""Files of the vehicle: whoever names one here needs it."""

CHUNK = 200


def give_up(rental: Rental, names: Iterable[str], scope: Scope) -> int:
    """How many files this rental names that it had not given up before."""
    wanted = {name for name in names if name}
    before = set(ErasedFile.objects.filter(rental=rental, name__in=wanted).values_list("name", flat=True))
    new = sorted(wanted - before)
    ErasedFile.objects.bulk_create(
        ErasedFile(rental=rental, name=name, on=scope.day, why=scope.why) for name in new
    )  # fmt: skip
    return len(new)


def remove_given_up() -> int:
    """Remove the bytes of what was given up and is needed nowhere; how many files went. Call it after the commit.

    What could not be removed, and what another rental still needs, is tried again the next time.
    """
    names = list(ErasedFile.objects.filter(removed_at=None).values_list("name", flat=True).distinct())
    return sum(_remove(names[start : start + CHUNK]) for start in range(0, len(names), CHUNK))


def _remove(names: list[str]) -> int:
    free = sorted(set(names) - still_needed(names))
    for name in free:
        remove(name)
    ErasedFile.objects.filter(name__in=free, removed_at=None).update(removed_at=timezone.now())
    return len(free)


def still_needed(names: Iterable[str]) -> set[str]:
    """Those that a row names whose rental has not given them up."""
    wanted = list(names)
    given_up = set(ErasedFile.objects.filter(name__in=wanted).values_list("name", "rental"))
    return {name for name, rental in _named(wanted) if (name, rental) not in given_up}


def _named(wanted: list[str]) -> Iterator[tuple[str, Any]]:
    """Each name with the rental of each row that names it; None where it belongs to the vehicle."""
    for table, path, columns in _users():
        any_column = Q()
        for column in columns:
            any_column |= Q(**{f"{column}__in": wanted})
        rows = table._base_manager.filter(any_column).values_list(*([path] if path else []), *columns)
        for row in rows.iterator(chunk_size=500):
            rental, named = (row[0], row[1:]) if path else (None, row)
            yield from ((name, rental) for name in named if name)


def _users() -> Iterator[tuple[Any, str, tuple[str, ...]]]:
    places = {(place.table, place.path, place.files) for place in PLACES if place.files}
    yield from sorted(places, key=lambda place: place[0].__name__)
    for label, columns in OTHER_USERS:
        yield apps.get_model(label), "", columns
