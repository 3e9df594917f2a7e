"""Units, due dates and what is free, out; nothing of who has them."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Count, Q, QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from ninja import Query, Router

from fleet.models import Branch, DueDate, Unit
from handover.acting import CannotBe
from handover.api.paging import Page, paged
from handover.api.scopes import Scope
from handover.api.tokens import Scoped, TokenRequest
from handover.api.units_schema import (
    Availability,
    AvailabilityAsked,
    DueOut,
    Taken,
    UnitFree,
    UnitOut,
    UnitsAsked,
)
from handover.rental.models import TAKES_A_UNIT, Leg
from shared.access.scope import scoped
from shared.clock import local

router = Router(tags=["Units"], auth=Scoped(Scope.UNITS_READ))
MOST_DAYS = 366


@router.get("/units", response=Page[UnitOut], url_name="api-units", operation_id="list_units")
def units(request: TokenRequest, response: HttpResponse, asked: Query[UnitsAsked]) -> Any:
    """Units with what falls due on them."""
    rows = scoped(units_out(), request.auth.person)
    wanted = {"branch__code": asked.branch, "number": asked.number}
    rows = rows.filter(**{name: value for name, value in wanted.items() if value})
    return paged(request, response, rows, asked, shown)


@router.get("/units/{uuid:unit_id}", response=UnitOut, url_name="api-unit", operation_id="get_unit")
def unit(request: TokenRequest, unit_id: UUID) -> Any:
    return shown(get_object_or_404(scoped(units_out(), request.auth.person), pk=unit_id))


@router.get("/availability", response=Availability, url_name="api-availability", operation_id="get_availability")
def availability(request: TokenRequest, asked: Query[AvailabilityAsked]) -> Any:
    """Which units of a branch can be booked for a time, and why the others cannot."""
    branch = get_object_or_404(scoped(Branch.objects.all(), request.auth.person, path=""), code=asked.branch)
    if asked.back_at <= asked.out_at:
        raise CannotBe(_("The return lies before the pickup. Give a later return."), "back_at")
    if (asked.back_at - asked.out_at).days > MOST_DAYS:
        raise CannotBe(_("At most %(most)s days are looked at.") % {"most": MOST_DAYS}, "back_at")
    rows = units_out().filter(branch=branch, retired=False, **({"layout__code": asked.layout} if asked.layout else {}))
    taken = _taken(branch, asked)
    back_on = local(asked.back_at, branch.zone).date()
    free = [_free(row, taken.get(row.pk, ()), back_on) for row in rows.order_by("number")]
    return Availability(branch=branch.code, out_at=asked.out_at, back_at=asked.back_at, units=free)


def units_out() -> QuerySet[Unit]:
    jobs = Count("turnaround_jobs", filter=Q(turnaround_jobs__closed_at=None), distinct=True)
    return Unit.objects.select_related("branch", "layout").prefetch_related("due_dates").annotate(open_jobs=jobs)


def shown(row: Any) -> UnitOut:
    """Of a unit from units_out()."""
    return UnitOut(
        id=str(row.pk),
        number=row.number,
        branch=row.branch.code,
        layout=row.layout.code,
        plate=row.plate,
        berths=row.layout.berths,
        belted_seats=row.layout.belted_seats,
        odometer_km=row.odometer_km,
        retired=row.retired,
        open_jobs=row.open_jobs,
        due_dates=_due(row.due_dates.all()),
    )


def _due(rows: Iterable[DueDate]) -> list[DueOut]:
    return [DueOut(kind=row.kind, due_on=row.due_on) for row in rows]


def _taken(branch: Branch, asked: AvailabilityAsked) -> dict[UUID, list[Taken]]:
    """As legs_taking() of one unit, for all of a branch."""
    legs = Leg.objects.filter(
        unit__branch=branch, ended_at=None, rental__state__in=TAKES_A_UNIT,
        rental__planned_out_at__lt=asked.back_at, rental__planned_back_at__gt=asked.out_at,
    ).order_by("rental__planned_out_at")  # fmt: skip
    found: dict[UUID, list[Taken]] = defaultdict(list)
    for unit_id, out_at, back_at in legs.values_list("unit", "rental__planned_out_at", "rental__planned_back_at"):
        found[unit_id].append(Taken(planned_out_at=out_at, planned_back_at=back_at))
    return found


def _free(row: Unit, taken: Sequence[Taken], back_on: date) -> UnitFree:
    due = _due(each for each in row.due_dates.all() if each.due_on <= back_on)
    return UnitFree(
        id=str(row.pk),
        number=row.number,
        layout=row.layout.code,
        free=not taken and not due,
        taken=list(taken),
        due=due,
    )
