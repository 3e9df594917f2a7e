"""What is asked about: branches and a period, and the rentals that belong to it.

A rental belongs to the period in which it was due back, as extended, by its branch's calendar: every figure of the
manager's view is about the same rentals, and the index on the planned return keeps it as fast with many as with few.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any, TypeVar
from urllib.parse import urlencode

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.acting import CannotBe
from handover.days_said import check_order, day_said
from handover.rental.models import Rental
from shared.clock import day_bounds, local

USUAL_DAYS = 90
MOST_DAYS = 1100
YEARS = range(2000, 2100)
EVERY = "all"
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Asked:
    """Both days belong to it. `today` is the calendar day at the first branch, `now` the instant.

    It lives as long as one page: what several tables rest on is read once and kept with it.
    """

    branches: tuple[Branch, ...]
    start: date
    end: date
    today: date
    now: datetime
    code: str = EVERY
    _read: dict[Callable[..., Any], Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def once(self, read: "Callable[[Asked], T]") -> T:
        """What `read` tells of it, from the first time it is asked for."""
        if read not in self._read:
            self._read[read] = read(self)
        found: T = self._read[read]
        return found

    def due_back(self, path: str = "") -> Q:
        """The rentals of the period; `path` leads to the rental: "leg__rental__"."""
        return self.within("planned_back_at", path=path, branch=f"{path}branch")

    def within(self, field: str, *, path: str = "", branch: str) -> Q:
        """Rows whose instant lies in the period, by the calendar of the branch that `branch` leads to."""
        found = Q(pk__in=[])
        for one in self.branches:
            first, after = day_bounds(self.start, one.zone)[0], day_bounds(self.end, one.zone)[1]
            found |= Q(**{branch: one.pk, f"{path}{field}__gte": first, f"{path}{field}__lt": after})
        return found

    @property
    def rentals(self) -> QuerySet[Rental]:
        """Those that went out."""
        return Rental.objects.filter(self.due_back()).exclude(state__in=NOT_OUT)

    @property
    def many_rentals(self) -> int:
        """How many went out: what most tables rest on."""
        return self.once(_count)

    def zone(self, branch_id: object) -> str:
        return next(one.zone for one in self.branches if one.pk == branch_id)

    def local(self, when: datetime, branch_id: object) -> datetime:
        return local(when, self.zone(branch_id))

    @property
    def query(self) -> dict[str, str]:
        """The address's own words for it."""
        return {"branch": self.code, "start": self.start.isoformat(), "end": self.end.isoformat()}

    @property
    def address(self) -> str:
        """branch=inverlark&start=2026-06-01&end=2026-08-29"""
        return urlencode(self.query)


def _count(asked: Asked) -> int:
    return asked.rentals.count()


NOT_OUT = [Rental.State.BOOKED, Rental.State.PICKUP, Rental.State.CANCELLED]


def asked_of(said: Mapping[str, str], branches: Iterable[Branch], *, now: datetime) -> Asked:
    """From an address. Raises CannotBe at the field, LookupError for a branch that is not among `branches`."""
    every = tuple(branches)
    code = said.get("branch") or EVERY
    chosen = every if code == EVERY else tuple(one for one in every if one.code == code)
    if not chosen:
        raise LookupError(code)
    today = local(now, chosen[0].zone).date()
    end = day_said(said.get("end", ""), "end") or today
    start = day_said(said.get("start", ""), "start") or end - timedelta(days=USUAL_DAYS - 1)
    _check_span(start, end)
    return Asked(chosen, start, end, today, now, code)


def _check_span(start: date, end: date) -> None:
    check_order(start, end)
    if (end - start).days >= MOST_DAYS:
        raise CannotBe(
            _("At most %(most)s days can be looked at together; this is more. Give a later first day.")
            % {"most": MOST_DAYS},
            "start",
        )
