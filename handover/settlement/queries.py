"""What the pages of settlements show, in a fixed number of queries."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, TypedDict
from uuid import UUID

from django.db.models import Case, DecimalField, F, OuterRef, Q, QuerySet, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.rental.models import Leg, Rental
from handover.settlement.models import Movement
from handover.settlement.plan import ZERO, Standing, Step, steps
from handover.settlement.standing import settled_statements, standing
from handover.statement.models import Statement
from shared.dates import dated
from shared.listing import Listing, listing

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

Kind = Movement.Kind
AMOUNT = DecimalField(max_digits=14, decimal_places=3)
# Half of the smallest unit of any currency: sums in the database may carry the noise of their last digit.
NOTHING = Decimal("0.0005")
MOST_SHOWN = 100
HELD_TOO_LONG = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Open:
    """One thing to do, with the hold it is of."""

    step: Step
    hold: Movement | None


@dataclass(frozen=True, slots=True)
class MoneyPage:
    """`agreed` is the deposit that was booked; `unheld` what of it no movement holds or has held."""

    rental: Rental
    leg: Leg
    movements: Sequence[Movement]
    latest: Statement | None
    standing: Standing
    todo: Sequence[Open]
    unheld: Decimal


def money_page(rental: Rental, *, today: date) -> MoneyPage:
    movements = list(rental.movements.select_related("by", "statement", "hold"))
    latest = settled_statements().filter(rental=rental).order_by("-version").first()
    stands = standing(movements, latest, today=today)
    by_id: dict[UUID, Movement] = {row.pk: row for row in movements}
    held = sum((row.amount for row in movements if row.kind == Kind.HELD), ZERO)
    return MoneyPage(
        rental=rental,
        leg=list(rental.legs.all())[-1],
        movements=movements,
        latest=latest,
        standing=stands,
        todo=[Open(step, by_id.get(step.hold) if step.hold else None) for step in steps(stands)],
        unheld=max(rental.deposit_held - held, ZERO),
    )


def _sum(*kinds: Kind) -> Coalesce:
    of_kinds = Movement.objects.filter(rental=OuterRef("pk"), kind__in=kinds).order_by().values("rental")
    return Coalesce(Subquery(of_kinds.annotate(all=Sum("amount")).values("all")), Value(ZERO), output_field=AMOUNT)


class Figures(TypedDict):
    """`owed` by the latest settled statement, `gap` still to collect or, below zero, to give back."""

    owed: Decimal | None
    received: Decimal
    paid_back: Decimal
    still_held: Decimal
    gap: Decimal | None
    back_at: datetime | None


def _with_money(branch: Branch) -> "QuerySet[WithAnnotations[Rental, Figures]]":
    latest = settled_statements().filter(rental=OuterRef("pk")).order_by("-version")
    rows = Rental.objects.filter(branch=branch).annotate(
        owed=Subquery(latest.values("total")[:1], output_field=AMOUNT),
        received=_sum(Kind.CAPTURED, Kind.PAID),
        paid_back=_sum(Kind.REFUNDED),
        still_held=_sum(Kind.HELD) - _sum(Kind.CAPTURED, Kind.RELEASED),
        back_at=Subquery(Leg.objects.filter(rental=OuterRef("pk")).order_by("-number").values("ended_at")[:1]),
    )
    return rows.annotate(gap=F("owed") - F("received") + F("paid_back")).select_related("customer", "branch")


def open_settlements(branch: Branch) -> "Listing[WithAnnotations[Rental, Figures]]":
    """Settled, and money is still to move: the oldest first."""
    rows = _with_money(branch).filter(owed__isnull=False)
    still = Q(gap__gt=NOTHING) | Q(gap__lt=-NOTHING) | Q(still_held__gt=NOTHING)
    found = rows.filter(still).order_by("back_at", "number")
    return listing(list(found[:MOST_SHOWN]), found, MOST_SHOWN)


@dataclass(frozen=True, slots=True)
class HeldLong:
    rental: Rental
    held: Decimal
    why: str


def held_too_long(branch: Branch, *, now: datetime, today: date) -> Listing[HeldLong]:
    """Holds of rentals that are back for a week, and holds that have lapsed or lapse within three days."""
    lapsing = Movement.objects.filter(
        rental=OuterRef("pk"), kind=Kind.HELD, expires_on__lte=today + timedelta(days=3)
    ).order_by("expires_on")
    gone = [Rental.State.BACK, Rental.State.SETTLED, Rental.State.CANCELLED]
    rows = _with_money(branch).annotate(
        lapses_on=Subquery(lapsing.values("expires_on")[:1]),
        is_gone=Case(When(state__in=gone, then=True), default=False),
    )
    late = Q(is_gone=True) & (Q(back_at__lt=now - HELD_TOO_LONG) | Q(state=Rental.State.CANCELLED))
    found = rows.filter(still_held__gt=NOTHING).filter(late | Q(lapses_on__isnull=False)).order_by("back_at", "number")
    told = [HeldLong(row, row.still_held, _why(row, row.lapses_on, row.back_at, today)) for row in found[:MOST_SHOWN]]
    return listing(told, found, MOST_SHOWN)


def _why(rental: Rental, lapses_on: date | None, back_at: datetime | None, today: date) -> str:
    if lapses_on:
        return (_("lapsed on %(day)s") if lapses_on < today else _("lapses on %(day)s")) % {"day": dated(lapses_on)}
    if rental.state == Rental.State.CANCELLED or back_at is None:
        return _("the rental is cancelled")
    return _("back since %(back_at)s") % {"back_at": dated(localtime(back_at))}
