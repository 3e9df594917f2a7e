"""Where the demo's customers spend their nights: some know, some have left it open."""

from collections.abc import Iterable
from decimal import Decimal

from django.utils import timezone

from handover.acting import Act
from handover.cabcard.actions import NightSaid, PartySaid, plan_nights, plan_party
from handover.cabcard.queries import days_of
from handover.rental.models import Rental
from shared.access.models import Person
from shared.ids import uuid7

# By the booking's reference: who goes, and the place of each night in turn; "" is left open.
PLANS: dict[str, tuple[PartySaid, tuple[str, ...]]] = {
    "LM-40702": (
        PartySaid(2, "sparing", Decimal(1)),
        ("Ardnamoyle quay", "Strathvarr sands", "Loch Hessary", "Kilvarrow mill", "Skelda bay", ""),
    ),
    "LM-27102": (
        PartySaid(4, "usual", Decimal("1.5")),
        ("Gannet cove", "Saltmarsh landing", "Tern point", "Tern point", "Fiddler’s brook"),
    ),
    "LM-14001": (PartySaid(3, "usual", Decimal("0.5")), ("Kilvarrow mill", "Loch Hessary")),
}


def plan_demo_trips(rentals: Iterable[Rental], *, by: Person) -> None:
    """What was planned before stays: a second run finds it."""
    for rental in rentals:
        if rental.outside_reference in PLANS and not rental.plannednight_rows.exists():
            _plan(rental, *PLANS[rental.outside_reference], by)


def _plan(rental: Rental, party: PartySaid, names: tuple[str, ...], by: Person) -> None:
    places = {place.name: place for place in rental.branch.night_places.all()}
    nights = tuple(
        NightSaid(day, place.name, place.latitude, place.longitude, place.mains, place.water, place.waste)
        for day, name in zip(days_of(rental), names, strict=False)
        if (place := places.get(name))
    )
    plan_party(rental=rental, said=party, act=_act(by))
    plan_nights(rental=rental, nights=nights, act=_act(by))


def _act(by: Person) -> Act:
    return Act(by=by, at=timezone.now(), key=uuid7(), device="desk")
