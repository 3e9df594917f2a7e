"""The coordinator's board, and the jobs of one unit, in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import QuerySet

from fleet.models import Branch, DueDate, Unit
from handover.rental.models import Leg, Rental
from handover.turnaround.models import NotReady, TurnaroundJob
from handover.turnaround.words import title
from shared.access.models import Person
from shared.access.roles import RIGHTS, Right
from shared.clock import day_bounds, local

AHEAD = timedelta(days=1)
LATEST = 10
OUT = (Rental.State.PICKUP, Rental.State.OUT, Rental.State.SWAP, Rental.State.RETURN)


@dataclass(frozen=True, slots=True)
class UnitRow:
    """A unit with what is open on it, and the rental that waits for it by tomorrow night, if one does.

    `due` is what falls due before that rental is back and was not let go.
    """

    unit: Unit
    jobs: tuple[TurnaroundJob, ...]
    waits: Rental | None
    let_go: NotReady | None
    is_out: bool
    due: tuple[DueDate, ...] = ()

    @property
    def is_ready(self) -> bool:
        return not self.jobs and not self.is_out and not self.due

    @property
    def open_now(self) -> list[str]:
        return [title(job) for job in self.jobs]


@dataclass(frozen=True, slots=True)
class Board:
    """Units that somebody waits for by tomorrow night, in that order; then the others with jobs open."""

    waited_for: tuple[UnitRow, ...]
    others: tuple[UnitRow, ...]

    @property
    def ready(self) -> int:
        return sum(row.is_ready for row in self.waited_for)


def open_of(units: Iterable[Unit]) -> dict[UUID, tuple[TurnaroundJob, ...]]:
    """Open jobs by unit, the oldest first."""
    found: dict[UUID, list[TurnaroundJob]] = defaultdict(list)
    rows = TurnaroundJob.objects.filter(unit__in=list(units), closed_at=None)
    for job in rows.select_related("assigned_to", "by"):
        found[job.unit_id].append(job)
    return {unit: tuple(jobs) for unit, jobs in found.items()}


def board_of(branch: Branch, *, now: datetime) -> Board:
    """What goes out today and tomorrow, is it ready, and what blocks it; in six queries."""
    units = list(Unit.objects.filter(branch=branch, retired=False))
    waits, jobs, out = _waiting(units, branch, now), open_of(units), _out(units)
    let_go = {(row.unit_id, row.rental_id): row for row in NotReady.objects.filter(unit__in=units).order_by("at", "id")}
    due = _due(waits, let_go, branch)

    def row(unit: Unit) -> UnitRow:
        rental = waits.get(unit.pk)
        released = let_go.get((unit.pk, rental.pk)) if rental else None
        return UnitRow(unit, jobs.get(unit.pk, ()), rental, released, unit.pk in out, due.get(unit.pk, ()))

    rows = [row(unit) for unit in units]
    waited = sorted((each for each in rows if each.waits), key=_leaves)
    return Board(tuple(waited), tuple(each for each in rows if not each.waits and each.jobs))


def _leaves(row: UnitRow) -> datetime:
    assert row.waits is not None  # noqa: S101 - only rows that somebody waits for are sorted
    return row.waits.planned_out_at


def _waiting(units: list[Unit], branch: Branch, now: datetime) -> dict[UUID, Rental]:
    """The first booked rental of each unit that leaves by tomorrow night, what should have left included."""
    until = day_bounds(local(now + AHEAD, branch.zone).date(), branch.zone)[1]
    legs = Leg.objects.filter(unit__in=units, rental__state=Rental.State.BOOKED, rental__planned_out_at__lt=until)
    last_first = legs.select_related("rental__customer").order_by("-rental__planned_out_at")
    return {leg.unit_id: leg.rental for leg in last_first}


def _due(
    waits: Mapping[UUID, Rental], let_go: Mapping[tuple[UUID, UUID], NotReady], branch: Branch
) -> dict[UUID, tuple[DueDate, ...]]:
    """By unit that somebody waits for: what falls due before it is back; what was let go is left out."""
    found: dict[UUID, list[DueDate]] = defaultdict(list)
    for row in DueDate.objects.filter(unit__in=list(waits)).order_by("due_on"):
        rental = waits[row.unit_id]
        released = let_go.get((row.unit_id, rental.pk))
        gone = {(each["kind"], each["due_on"]) for each in released.due} if released else set()
        is_due = row.due_on <= local(rental.planned_back_at, branch.zone).date()
        if is_due and (row.kind, row.due_on.isoformat()) not in gone:
            found[row.unit_id].append(row)
    return {unit: tuple(rows) for unit, rows in found.items()}


def _out(units: list[Unit]) -> set[UUID]:
    legs = Leg.objects.filter(unit__in=units, ended_at=None, rental__state__in=OUT)
    return set(legs.values_list("unit_id", flat=True))


def closed_of(unit: Unit) -> QuerySet[TurnaroundJob]:
    """The jobs closed last."""
    rows = TurnaroundJob.objects.filter(unit=unit).exclude(closed_at=None).select_related("closed_by")
    return rows.order_by("-closed_at", "-id")[:LATEST]


def crew_of(branch: Branch) -> list[Person]:
    """Who can be handed a job at this branch."""
    roles = [role for role, rights in RIGHTS.items() if Right.TURNAROUND in rights]
    rows = Person.objects.filter(postings__branch=branch, role__in=roles, is_active=True)
    return list(rows.order_by("first_name", "last_name"))
