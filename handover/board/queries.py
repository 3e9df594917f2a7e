"""What a branch's day board is made of, in a fixed number of queries however many rentals."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Count, OuterRef, Prefetch, Q, Subquery
from django.utils.timezone import localtime

from fleet.models import Branch, DueDate
from handover.board.day import DayBoard, Neighbour, arranged
from handover.board.progress import Progress, progress_of
from handover.board.words import Known
from handover.customer.late.standing import said_back_at
from handover.rental.models import Leg, Rental
from handover.statement.models import Signature, Statement
from handover.turnaround.models import NotReady, TurnaroundJob
from handover.walkround.models import Hold, WalkRound
from shared.clock import day_bounds

State = Rental.State
ON_THE_ROAD = [State.PICKUP, State.OUT, State.SWAP, State.RETURN]
# A swap has a pickup of its own, days after the rental left.
PICKING_UP = [State.PICKUP, State.SWAP]
COMES_BACK = [State.OUT, State.SWAP, State.RETURN]


def board_of(branch: Branch, day: date, *, now: datetime) -> DayBoard:
    """The branch's day. Call it with the branch's zone active: its words show times."""
    is_today = localtime(now).date() == day
    bounds = day_bounds(day, branch.zone)
    facts = facts_of(rentals_on(branch, bounds, with_overdue=is_today), now=now, is_today=is_today)
    return arranged(
        day, facts.pickups(bounds), facts.returns(bounds), _neighbours(branch, day), now=now if is_today else None
    )


def rentals_on(branch: Branch, bounds: tuple[datetime, datetime], *, with_overdue: bool) -> list[Rental]:
    """What goes out or comes back on the day; today also what should long have gone or come and is not done."""
    on_board = _on(branch, *bounds, with_overdue=with_overdue)
    last = Statement.objects.filter(rental=OuterRef("pk")).order_by("-version")
    under_statement = Signature.objects.filter(rental=OuterRef("pk"), statement__isnull=False)
    by_customer = under_statement.filter(role="customer").order_by("-at")
    rows = Rental.objects.filter(on_board).exclude(state=State.CANCELLED)
    legs = Leg.objects.select_related("unit")
    return list(
        rows.select_related("customer", "branch")
        .prefetch_related(Prefetch("legs", legs))
        .annotate(
            statement_total=Subquery(last.values("total")[:1]),
            statement_outcome=Subquery(by_customer.values("outcome")[:1]),
            says_back_at=said_back_at(),
        )
    )


def _on(branch: Branch, start: datetime, end: datetime, *, with_overdue: bool) -> Q:
    """The branch stands in every part: each is then found by an index, however many rentals the branch ever had."""
    found = Q(branch=branch, planned_out_at__gte=start, planned_out_at__lt=end)
    found |= Q(branch=branch, planned_back_at__gte=start, planned_back_at__lt=end)
    if with_overdue:
        found |= Q(branch=branch, state__in=PICKING_UP, planned_out_at__lt=start)
        found |= Q(branch=branch, state__in=COMES_BACK, planned_back_at__lt=start)
    return found


@dataclass(frozen=True, slots=True)
class Facts:
    """Everything about the rentals of one board, by the ids it is asked for."""

    rentals: Sequence[Rental]
    now: datetime
    is_today: bool
    due: dict[UUID, DueDate]
    elsewhere: set[UUID]
    walks: dict[tuple[UUID, str], WalkRound]
    progress: dict[UUID, Progress]
    holds: dict[UUID, Hold]
    jobs: dict[UUID, int]

    def pickups(self, bounds: tuple[datetime, datetime]) -> list[Known]:
        return [
            self._known(rental, _leg_out(rental), "pickup")
            for rental in sorted(self.rentals, key=lambda row: row.planned_out_at)
            if _shown(rental.planned_out_at, bounds, rental.state in PICKING_UP)
        ]

    def returns(self, bounds: tuple[datetime, datetime]) -> list[Known]:
        return [
            self._known(rental, list(rental.legs.all())[-1], "return")
            for rental in sorted(self.rentals, key=lambda row: row.planned_back_at)
            if _shown(rental.planned_back_at, bounds, rental.state in COMES_BACK)
        ]

    def _known(self, rental: Rental, leg: Leg, kind: str) -> Known:
        walk = self.walks.get((leg.pk, kind))
        return Known(
            rental=rental, leg=leg, now=self.now, is_today=self.is_today, due=self.due.get(rental.pk),
            elsewhere=leg.pk in self.elsewhere, walk=walk, progress=self.progress.get(walk.pk) if walk else None,
            hold=self.holds.get(walk.pk) if walk else None, jobs=self.jobs.get(leg.unit_id, 0),
        )  # fmt: skip


def _leg_out(rental: Rental) -> Leg:
    legs = list(rental.legs.all())
    return legs[-1] if rental.state in PICKING_UP else legs[0]


def _shown(at: datetime, bounds: tuple[datetime, datetime], is_open: bool) -> bool:  # noqa: FBT001
    return bounds[0] <= at < bounds[1] or (at < bounds[0] and is_open)


def facts_of(rentals: Sequence[Rental], *, now: datetime, is_today: bool) -> Facts:
    walks = list(WalkRound.objects.filter(leg__rental__in=rentals).select_related("started_by").order_by("started_at"))
    holds = Hold.objects.filter(walk__in=walks, released_at=None).select_related("answer__item").order_by("-pk")
    return Facts(
        rentals=rentals,
        now=now,
        is_today=is_today,
        due=_due(rentals),
        elsewhere=_elsewhere(rentals),
        walks={(walk.leg_id, walk.kind): walk for walk in walks},
        progress=progress_of(walk for walk in walks if walk.finished_at is None),
        holds={hold.walk_id: hold for hold in holds},
        jobs=_jobs(rentals),
    )


def _due(rentals: Sequence[Rental]) -> dict[UUID, DueDate]:
    """For a booked rental the first thing of its unit that falls due before it is back, and was not let go."""
    unit_of = {rental: rental.legs.all()[0].unit_id for rental in rentals if rental.state == State.BOOKED}
    rows = list(DueDate.objects.filter(unit__in=set(unit_of.values())).order_by("due_on"))
    on_the_trip = [
        (rental, row)
        for rental, unit in unit_of.items()
        for row in rows
        if row.unit_id == unit and row.due_on <= localtime(rental.planned_back_at).date()
    ]
    gone = _let_go({rental.pk for rental, _row in on_the_trip})
    first: dict[UUID, DueDate] = {}
    for rental, row in on_the_trip:
        if (rental.pk, row.unit_id, row.kind, row.due_on.isoformat()) not in gone:
            first.setdefault(rental.pk, row)
    return first


def _let_go(rentals: set[UUID]) -> set[tuple[UUID, UUID, str, str]]:
    """Rental, unit, kind and date of what a person let go."""
    if not rentals:
        return set()
    rows = NotReady.objects.filter(rental__in=rentals).values_list("rental_id", "unit_id", "due")
    return {(rental, unit, each["kind"], each["due_on"]) for rental, unit, due in rows for each in due}


def _jobs(rentals: Sequence[Rental]) -> dict[UUID, int]:
    """By unit that waits to go out, how many jobs of its turnaround are open."""
    units = {leg.unit_id for rental in rentals if rental.state == State.BOOKED for leg in rental.legs.all()}
    rows = TurnaroundJob.objects.filter(unit__in=units, closed_at=None).values("unit").annotate(open=Count("pk"))
    return {row["unit"]: row["open"] for row in rows.order_by()}


def _elsewhere(rentals: Sequence[Rental]) -> set[UUID]:
    """Legs of booked rentals whose unit is still out for another."""
    legs = [leg for rental in rentals if rental.state == State.BOOKED for leg in rental.legs.all()]
    out = Leg.objects.filter(unit__in={leg.unit_id for leg in legs}, rental__state__in=ON_THE_ROAD, ended_at=None)
    away = set(out.values_list("unit_id", flat=True))
    return {leg.pk for leg in legs if leg.unit_id in away}


def _neighbours(branch: Branch, day: date) -> tuple[Neighbour, Neighbour]:
    days = (day - timedelta(days=1), day + timedelta(days=1))
    wanted = {}
    for name, side in zip(("before", "after"), days, strict=True):
        start, end = day_bounds(side, branch.zone)
        wanted[f"{name}_out"] = Count("pk", filter=Q(planned_out_at__gte=start, planned_out_at__lt=end))
        wanted[f"{name}_back"] = Count("pk", filter=Q(planned_back_at__gte=start, planned_back_at__lt=end))
    start, end = day_bounds(days[0], branch.zone)[0], day_bounds(days[1], branch.zone)[1]
    near = _on(branch, start, end, with_overdue=False)
    counted = Rental.objects.filter(near).exclude(state=State.CANCELLED).aggregate(**wanted)
    before, after = (
        Neighbour(side, counted[f"{name}_out"], counted[f"{name}_back"])
        for name, side in zip(("before", "after"), days, strict=True)
    )
    return before, after
