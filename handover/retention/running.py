"""The nightly run: every rental that is over, in chunks; what is due goes, and open requests go on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.db.models import Q, QuerySet

from handover.acting import AnyonesAct
from handover.rental.models import Rental
from handover.retention.erasing.files import remove_given_up
from handover.retention.erasing.scope import Scope
from handover.retention.erasing.whole import erase
from handover.retention.judging import Judged, judge, over
from handover.retention.kinds import Kind
from handover.retention.models import ErasureRequest, Why
from handover.retention.requests import finish_requests
from handover.retention.schedule import Verdict
from shared.ids import uuid7

CHUNK = 200


@dataclass(frozen=True, slots=True)
class Told:
    """Of one rental: what went (or would go), how many of each, what is held back, and what stopped it."""

    rental: Rental
    why: Why
    kinds: frozenset[Kind]
    counts: dict[str, int]
    held: list[Verdict]
    problem: str = ""


def rentals_to_judge() -> QuerySet[Rental]:
    """Those that are over, and those of customers who asked: what of these is held back is told each night."""
    asked = ErasureRequest.objects.filter(done_at=None).values("customer")
    return Rental.objects.filter(Q(state__in=over()) | Q(customer__in=asked)).order_by("pk")


def run(*, now: datetime, dry: bool, progress: Callable[[int], object] = lambda many: None) -> Iterator[Told]:
    """One Told for each rental where something goes or is held back though due. A dry run writes nothing.

    One rental that cannot be erased does not stop the others. The day is the UTC day of `now`.
    """
    today = now.date()
    asked = set(ErasureRequest.objects.filter(done_at=None).values_list("customer", flat=True))
    # Keys first: no cursor stays open while rows are written.
    keys = list(rentals_to_judge().values_list("pk", flat=True))
    for start in range(0, len(keys), CHUNK):
        chunk = list(Rental.objects.filter(pk__in=keys[start : start + CHUNK]).select_related("branch", "customer"))
        for row in judge(chunk, today=today):
            why = Why.REQUEST if row.rental.customer_id in asked else Why.SCHEDULE
            if told := _one(row, why, today=today, now=now, dry=dry):
                yield told
        progress(len(chunk))
    if not dry:
        finish_requests(now=now)
        remove_given_up()


def _one(row: Judged, why: Why, *, today: date, now: datetime, dry: bool) -> Told | None:
    scope, held = row.scope(why, day=today), row.held
    if why is Why.REQUEST:
        held = [verdict for verdict in row.verdicts if verdict.hold]
    if not scope.kinds and not held:
        return None
    try:
        counts = _count(row, scope, now=now) if dry else _erased(row, scope, now=now)
    except Exception as problem:  # whatever stops this one, the others still go
        return Told(row.rental, why, scope.kinds, {}, held, f"{type(problem).__name__}: {problem}")
    return Told(row.rental, why, scope.kinds, counts, held) if counts or held else None


def _erased(row: Judged, scope: Scope, *, now: datetime) -> dict[str, int]:
    erasure = erase(row.rental, scope, act=AnyonesAct(by=None, at=now, key=uuid7()))
    return dict(erasure.counts) if erasure else {}


def _count(row: Judged, scope: Scope, *, now: datetime) -> dict[str, int]:
    """As it would be erased, in a transaction that is taken back."""
    try:
        with transaction.atomic():
            raise _DryRun(_erased(row, scope, now=now))
    except _DryRun as counted:
        return counted.counts


class _DryRun(Exception):
    """Carries out what was counted."""

    def __init__(self, counts: dict[str, int]) -> None:
        super().__init__()
        self.counts = counts
