"""Stored statements in chunks, so that a hundred thousand of them need no more memory than a few hundred."""

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID

from django.db.models import QuerySet

from handover.ratecard.repricing import Stored
from handover.rental.models import Rental
from handover.statement.models import Statement

CHUNK = 100
COLUMNS = ("pk", "rental_id", "version", "inputs", "result", "rules_version", "digest")


def statements_since(start: datetime | None) -> QuerySet[Statement]:
    return Statement.objects.filter(drawn_up_at__gte=start) if start else Statement.objects.all()


def stored_in_chunks(rows: QuerySet[Statement], *, size: int = CHUNK) -> Iterator[list[Stored]]:
    """Each chunk begins after the last primary key of the one before: no cursor stays open, none is read twice.

    The numbers of the rentals are fetched apart: joined, a database may sort every statement for every chunk.
    """
    ordered, last = rows.order_by("pk").values_list(*COLUMNS), UUID(int=0)
    while chunk := list(ordered.filter(pk__gt=last)[:size]):
        rentals = Rental.objects.filter(pk__in={rental for _, rental, *_ in chunk})
        numbers = dict(rentals.values_list("pk", "number"))
        yield [Stored(numbers[rental], *columns) for _, rental, *columns in chunk]
        last = chunk[-1][0]
