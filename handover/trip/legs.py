"""Which leg had a unit at an instant, what a swap makes of legs, and whether a unit is free."""

import re
from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from fleet.models import Unit
from handover.acting import CannotBe
from handover.rental.models import TAKES_A_UNIT, Leg, Rental
from handover.trip.models import Swap
from shared.clock import local
from shared.dates import dated_moment


def leg_at(unit_plate: str, instant: datetime) -> Leg:
    """The leg that had this plate at an instant, at whatever branch. Raises CannotBe when the unit was in the yard.

    Both ends belong to the leg: handed over and taken back to the minute. The plate it left with counts, and the one
    that its unit has now: it may have got another on the way.
    """
    gone = Leg.objects.filter(started_at__lte=instant).select_related("unit", "rental__branch").order_by("-started_at")
    there = gone.filter(Q(ended_at__isnull=True) | Q(ended_at__gte=instant))
    if left_with := there.filter(plate=_plain(unit_plate)).exclude(plate="").first():
        return left_with
    unit = unit_with(unit_plate)
    if (found := there.filter(unit=unit).first()) is None:
        raise CannotBe(_in_the_yard(unit, instant), "at")
    return found


def unit_with(plate: str) -> Unit:
    """By its plate, or the one that it last left with. Spaces and hyphens do not tell plates apart. Raises CannotBe."""
    wanted = _plain(plate)
    for unit in Unit.objects.select_related("branch").only("plate", "number", "branch__zone"):
        if _plain(unit.plate) == wanted:
            return unit
    if before := Leg.objects.filter(plate=wanted).exclude(plate="").select_related("unit__branch").last():
        return before.unit
    raise CannotBe(
        _("No unit has the plate %(plate)s. Compare it letter by letter with the notice.") % {"plate": plate.strip()},
        "plate",
    )


def _plain(plate: str) -> str:
    return re.sub(r"[\W_]", "", plate).upper()


def _in_the_yard(unit: Unit, instant: datetime) -> str:
    before = Leg.objects.filter(unit=unit, ended_at__lt=instant).order_by("-ended_at").first()
    after = Leg.objects.filter(unit=unit, started_at__gt=instant).order_by("started_at").first()
    back = " " + _("It came back on %(when)s.") % {"when": _said(unit, before.ended_at)} if before else ""
    out = " " + _("It next left on %(when)s.") % {"when": _said(unit, after.started_at)} if after else ""
    return _(
        "Unit %(unit)s was in the yard on %(when)s: nobody had it.%(back)s%(out)s Compare "
        "plate and time with the notice; it may be off by an hour."
    ) % {"unit": unit.number, "when": _said(unit, instant), "back": back, "out": out}


def _said(unit: Unit, at: datetime | None) -> str:
    return dated_moment(local(at, unit.branch.zone)) if at else ""


def leg_of(rental: Rental, at: datetime) -> Leg:
    """The rental's leg at an instant; between two legs the one before, and the first for what came earlier still."""
    legs = [leg for leg in rental.legs.select_related("unit") if leg.started_at]
    begun = [leg for leg in legs if leg.started_at and leg.started_at <= at]
    return begun[-1] if begun else legs[0]


def check_free(unit: Unit, rental: Rental, start: datetime, end: datetime, *, instead: str, field: str) -> None:
    """Raises CannotBe naming the rental that has or gets the unit in that time; `instead` says what can be."""
    legs = _taken(rental, start, end).filter(unit=unit).select_related("rental")
    if clash := legs.order_by("rental__planned_out_at").first():
        other = clash.rental
        goes = local(other.planned_out_at, rental.branch.zone)
        raise CannotBe(
            _(
                "Unit %(unit)s is booked for %(other)s from %(goes)s. %(instead)s, or move that "
                "booking to another unit first."
            )
            % {"unit": unit.number, "other": other.number, "goes": dated_moment(goes), "instead": instead},
            field,
        )


def _taken(rental: Rental, start: datetime, end: datetime) -> QuerySet[Leg]:
    """Legs of other rentals that get their unit in that time, or still have it, planned or not."""
    booked = Q(rental__state__in=TAKES_A_UNIT, rental__planned_out_at__lt=end, rental__planned_back_at__gt=start)
    away = Q(started_at__isnull=False, rental__planned_out_at__lt=end)
    return Leg.objects.filter(booked | away, ended_at__isnull=True).exclude(rental=rental)


def free_units(rental: Rental, now: datetime, branch_ids: Iterable[UUID]) -> QuerySet[Unit]:
    """Units of these branches that nobody else has or gets before the planned return."""
    taken = _taken(rental, now, max(rental.planned_back_at, now)).values("unit_id")
    own = rental.legs.filter(ended_at__isnull=True).values("unit_id")
    return Unit.objects.filter(branch_id__in=branch_ids, retired=False).exclude(pk__in=taken).exclude(pk__in=own)


def swap_of(leg: Leg) -> Swap | None:
    """The swap that this leg's return belongs to."""
    return Swap.objects.filter(from_leg=leg).first()


def begin_next_leg(swap: Swap) -> Leg:
    """The other unit's leg, once the first is back. It starts with its own pickup walk-round."""
    leg = Leg.objects.create(rental_id=swap.rental_id, number=swap.from_leg.number + 1, unit=swap.to_unit)
    swap.to_leg = leg
    swap.save(update_fields=["to_leg"])
    return leg
