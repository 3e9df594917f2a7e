"""What the page about coming back late shows: the planned return, the terms, what some times come to, what was said."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from handover.customer.late.price import ComesTo, comes_to
from handover.customer.late.standing import late_said, may_announce
from handover.customer.late.terms import LateTerms, late_terms
from handover.customer.models import LateAnnounced
from handover.customer.opening import Visit
from handover.rental.models import Rental
from handover.statement.inputs import pricing_document
from handover.statement.promise import wall

HOUR, A_DAY = timedelta(hours=1), timedelta(days=1)
AT_MOST_LATER = timedelta(days=30)
SOME_HOURS = 3


@dataclass(frozen=True, slots=True)
class At:
    """A time, and what it comes to; None where no price can be told."""

    back_at: datetime
    price: ComesTo | None


@dataclass(frozen=True, slots=True)
class LatePage:
    """`some` are times to look at; `asked` the one that was asked about; `said` what the customer said last,
    `said_now` that time with what it comes to as things stand now.
    """

    may_announce: bool
    terms: LateTerms | None = None
    some: Sequence[At] = ()
    asked: At | None = None
    said: LateAnnounced | None = None
    said_now: At | None = None

    @property
    def likely_at(self) -> datetime | None:
        """What the field begins with."""
        return self.said.back_at if self.said else next((each.back_at for each in self.some), None)


def late_page(visit: Visit, *, asked: datetime | None = None) -> LatePage:
    """With the branch's zone and the customer's language active; `asked` is a time that can be."""
    rental = visit.rental
    if not may_announce(rental):
        return LatePage(may_announce=False)
    document, said = pricing_document(rental), late_said(rental)
    return LatePage(
        may_announce=True,
        terms=late_terms(rental),
        some=[_at(document, back_at) for back_at in _some_times(rental.planned_back_at, visit.at)],
        asked=_at(document, asked) if asked else None,
        said=said,
        said_now=_at(document, said.back_at) if said else None,
    )


def _at(document: dict[str, Any], back_at: datetime) -> At:
    return At(back_at, comes_to(document, wall(back_at, document["time_zone"])))


def price_of(rental: Rental, back_at: datetime) -> ComesTo | None:
    """As the page shows it."""
    return _at(pricing_document(rental), back_at).price


def _some_times(planned: datetime, now: datetime) -> Iterator[datetime]:
    """The next hours after the planned return, and the same time of the next day; what is gone is left out."""
    gone = max(0, (now - planned) // HOUR)
    hours = [planned + HOUR * (gone + number) for number in range(1, SOME_HOURS + 1)]
    day = planned + A_DAY * (max(0, (now - planned) // A_DAY) + 1)
    yield from (each for each in sorted({*hours, day}) if now < each <= planned + AT_MOST_LATER)
