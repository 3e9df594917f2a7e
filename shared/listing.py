"""A list on a page that shows its first rows only and still says how many there are."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from django.db.models import QuerySet

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Listing(Generic[Row]):
    """`rows` are the first of `many`; the page says so with parts/listing.html."""

    rows: Sequence[Row]
    many: int

    @property
    def is_cut(self) -> bool:
        return self.many > len(self.rows)


def listing(rows: Sequence[Row], found: "QuerySet[Any]", most: int) -> Listing[Row]:
    """`rows` are `found[:most]`, as the page shows them. Counts, in one query, only where there may be more."""
    return Listing(rows, len(rows) if len(rows) < most else found.count())
