"""What the page of a trip shows, in a fixed number of queries."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db.models import OuterRef, Prefetch, QuerySet, Subquery
from django.utils import timezone
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from fleet.models import DueDate
from handover.customer.late.standing import later_than_planned, said_back_at
from handover.rental.models import Leg, Rental
from handover.settlement.models import Movement
from handover.trip.models import Extension, Fault, Notice, RoadsideCall, Swap, TripEvent, TripPhoto
from handover.trip.pages import EVENTS, EventPage
from handover.trip.words import WORDS, Row, row_of
from shared.access.models import Person
from shared.dates import day_text, moment_text
from shared.phrasebook import inside

JOINED: dict[type[TripEvent], tuple[str, ...]] = {
    Extension: ("confirmed_by",),
    Fault: ("leg__unit",),
    RoadsideCall: ("leg__unit",),
    Notice: ("leg__unit",),
}


@dataclass(frozen=True, slots=True)
class TripPage:
    """`heeds` are what an extension of this trip runs into; `offers` what this person may note now."""

    rental: Rental
    legs: Sequence[Leg]
    rows: Sequence[Row]
    heeds: Sequence[str]
    offers: Sequence[EventPage]

    @property
    def leg(self) -> Leg:
        return self.legs[-1]


def rentals_with_trip() -> QuerySet[Rental]:
    """With units and swaps, what ends before the planned return and what the customer says of it: in two queries."""
    legs = Leg.objects.select_related("unit__layout", "swapped_by__by", "swapped_by__to_unit")
    holds = Movement.objects.filter(rental=OuterRef("pk"), kind=Movement.Kind.HELD, expires_on__isnull=False)
    due = DueDate.objects.filter(unit__legs__rental=OuterRef("pk"), unit__legs__ended_at=None).order_by("due_on")
    return (
        Rental.objects.select_related("branch", "customer")
        .prefetch_related(Prefetch("legs", legs))
        .annotate(
            lapses_on=Subquery(holds.order_by("-expires_on").values("expires_on")[:1]),
            due_on=Subquery(due.values("due_on")[:1]),
            due_kind=Subquery(due.values("kind")[:1]),
            says_back_at=said_back_at(),
        )
    )


def trip_page(rental: Rental, person: Person) -> TripPage:
    """The latest first. Of a rental from `rentals_with_trip`, with its branch's zone active."""
    events = sorted(_events(rental), key=lambda event: (event.at, event.noted_at), reverse=True)
    photos: dict[UUID, tuple[UUID, ...]] = {}
    for pk, event in TripPhoto.objects.filter(rental=rental).values_list("pk", "event"):
        photos[event] = (*photos.get(event, ()), pk)
    return TripPage(
        rental=rental,
        legs=list(rental.legs.all()),
        rows=[row_of(event, photos=photos.get(event.pk, ())) for event in events],
        heeds=list(_heeds(rental)),
        offers=[page for page in EVENTS if person.may(page.right) and page.offered(rental)],
    )


def _events(rental: Rental) -> Iterator[TripEvent]:
    """One query for each kind; they share the rental that is at hand, and swaps come with its legs."""
    yield from _swaps(rental)
    for model in WORDS:
        if model is Swap:
            continue
        rows: QuerySet[TripEvent] = model._default_manager.filter(rental=rental)
        for event in rows.select_related("by", *JOINED.get(model, ())):
            event.rental = rental
            yield event


def _swaps(rental: Rental) -> Iterator[Swap]:
    legs = {leg.pk: leg for leg in rental.legs.all()}
    for leg in legs.values():
        swap: Swap | None = getattr(leg, "swapped_by", None)
        if swap:
            swap.rental, swap.to_leg = rental, legs.get(swap.to_leg_id)  # type: ignore[arg-type]
            yield swap


def _heeds(rental: Rental) -> Iterator[str]:
    """What ends before the planned return: the card's last hold, a due date of the unit."""
    if rental.state not in {Rental.State.OUT, Rental.State.SWAP}:
        return
    if says := later_than_planned(rental, rental.says_back_at):  # type: ignore[attr-defined]
        yield _("The customer says %(at)s. Agree an extension to then, or lateness is charged by the agreement.") % {
            "at": moment_text(localtime(says))
        }
    back = localtime(rental.planned_back_at).date()
    lapses, due_on, kind = (getattr(rental, name) for name in ("lapses_on", "due_on", "due_kind"))
    if lapses and lapses < back:
        past = _("The hold on the card lapsed on %(day)s, before the planned return. Hold anew.")
        coming = _("The hold on the card lapses on %(day)s, before the planned return. Hold anew.")
        yield (past if lapses < timezone.localdate() else coming) % {"day": day_text(lapses)}
    if due_on and due_on <= back:
        unit = list(rental.legs.all())[-1].unit
        yield _("Unit %(unit)s: %(what)s is due on %(due_on)s, on this trip.") % {
            "unit": unit.number,
            "what": inside(str(DueDate.Kind(kind).label)),
            "due_on": day_text(due_on),
        }
