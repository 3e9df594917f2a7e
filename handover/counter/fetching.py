"""Rows of the counter, each through the branches of who asks; what belongs to another branch is not there."""

from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _

from handover.counter.models import Objection, Waiver
from handover.photo.models import Photo
from handover.rental.models import Leg, Rental
from handover.statement.models import Statement
from handover.walkround.levels import shown
from handover.walkround.models import Reading, WalkRound
from handover.walkround.sheet import InstrumentAsk
from shared.access.models import Person
from shared.access.scope import scoped


@dataclass(frozen=True, slots=True)
class Place:
    """Where a page of the counter stands: whose rental, which unit, where back leads."""

    rental: Rental
    leg: Leg
    back_href: str
    back_words: str


def rental_of(person: Person, pk: UUID) -> Rental:
    """Raises Http404 for what is not at the person's branches."""
    rows = Rental.objects.select_related("branch", "customer")
    return get_object_or_404(scoped(rows, person), pk=pk)


def statement_of(person: Person, pk: UUID) -> Statement:
    rows = Statement.objects.select_related("rental__branch", "rental__customer")
    return get_object_or_404(scoped(rows, person, "rental__branch"), pk=pk)


def waiver_of(person: Person, pk: UUID) -> Waiver:
    rows = Waiver.objects.select_related("rental__branch", "rental__customer")
    return get_object_or_404(scoped(rows, person, "rental__branch"), pk=pk)


def objection_of(person: Person, pk: UUID) -> Objection:
    rows = Objection.objects.select_related("rental__branch", "rental__customer", "by")
    return get_object_or_404(scoped(rows, person, "rental__branch"), pk=pk)


def reading_of(person: Person, pk: UUID) -> Reading:
    rows = Reading.objects.select_related("walk__leg__rental__branch", "walk__leg__unit", "walk__sheet", "walk__before")
    return get_object_or_404(scoped(rows, person, "walk__leg__rental__branch"), pk=pk)


def place_of(rental: Rental) -> Place:
    leg = rental.legs.select_related("unit").last()
    assert leg is not None  # noqa: S101 - a rental is made with its first leg
    return Place(rental, leg, reverse("statement", args=[rental.pk]), _("Statement"))


def photos_of(rental: Rental) -> list[Photo]:
    """Of its returns, the latest first: what the counter's decisions rest on."""
    return list(Photo.objects.filter(walk__leg__rental=rental, walk__kind="return").order_by("-at", "-id"))


def return_of(rental: Rental) -> WalkRound | None:
    """The last one, with its sheet; None before it began."""
    rows = WalkRound.objects.filter(leg__rental=rental, kind=WalkRound.Kind.RETURN).select_related("sheet")
    return rows.order_by("leg__number").last()


def read_off(ask: InstrumentAsk, value: Decimal | None, distance_unit: str) -> str:
    """As it is read off: a cylinder's gross mass, not its content."""
    if value is None:
        return ""
    if ask.measures == "gas":
        return _("%(value)s kg gross") % {"value": format(value.normalize(), "f")}
    return shown(ask, value, distance_unit=distance_unit).text
