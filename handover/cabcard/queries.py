"""All that a Cab card rests on, in a fixed number of queries, and the plan made of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import Q, QuerySet

from consumables.daylight import Daylight, daylight
from consumables.trip_plan import Party, Stop, TripPlan, plan_trip
from consumables.water import Habit
from fleet.models import (
    Branch,
    CardPlace,
    EmergencyStep,
    Instrument,
    Layout,
    LayoutStores,
    NightPlace,
    Unit,
    UnitInstrument,
    UnitKit,
    UnitStores,
)
from handover.cabcard.models import PlannedNight, PlannedParty
from handover.cabcard.stores import Carried, Entered, carried
from handover.rental.models import Leg, Rental
from handover.walkround.models import Reading
from shared.clock import local, zone_of

# Beyond a month nobody has decided where to sleep.
MOST_NIGHTS = 31
USUAL_PARTY = (2, Habit.USUAL, Decimal(1))


@dataclass(frozen=True, slots=True)
class CardFacts:
    """`light` is the evening of each night whose place is known; `seals` the numbers in the unit by kit."""

    rental: Rental
    unit: Unit
    places: Sequence[CardPlace]
    seals: Mapping[Any, str]
    steps: Sequence[EmergencyStep]
    planned: PlannedParty | None
    party: Party
    carried: Carried
    plan: TripPlan
    light: tuple[Daylight | None, ...]
    more_nights: int

    @property
    def branch(self) -> Branch:
        return self.rental.branch

    @property
    def layout(self) -> Layout:
        return self.unit.layout

    @property
    def any_frost(self) -> bool:
        return any(night.stop.frost for night in self.plan.nights)


def card_facts(rental: Rental) -> CardFacts:
    """Of a rental from `rentals_in_full`: its last leg's unit, since that is the one in use."""
    leg = list(rental.legs.all())[-1]
    planned = rental.plannedparty_rows.last()
    party = party_of(planned, rental)
    inside = carried_on(leg, planned)
    days = days_of(rental)
    stops = stops_of(rental, days[:MOST_NIGHTS])
    return CardFacts(
        rental=rental, unit=leg.unit, places=list(leg.unit.layout.card_places.all()),
        seals={held.kit_id: held.seal_number for held in UnitKit.objects.filter(unit=leg.unit)},
        steps=list(rental.branch.emergency_steps.all()), planned=planned, party=party, carried=inside,
        plan=plan_trip(inside.stores, party, stops), light=tuple(_light(stop, rental.branch.zone) for stop in stops),
        more_nights=max(0, len(days) - MOST_NIGHTS),
    )  # fmt: skip


def party_of(planned: PlannedParty | None, rental: Rental) -> Party:
    """As planned; else two people, or as many as there are drivers if that is more."""
    if planned is not None:
        return Party(planned.people, Habit(planned.habit), planned.drive_h)
    people, habit, drive_h = USUAL_PARTY
    return Party(max(people, rental.drivers.count()), habit, drive_h)


def days_of(rental: Rental) -> list[date]:
    """The days on whose evenings its nights begin, by the branch's calendar."""
    first, last = (local(at, rental.branch.zone).date() for at in (rental.planned_out_at, rental.planned_back_at))
    return [first + timedelta(days=nth) for nth in range((last - first).days)]


def nights_of(rental: Rental) -> dict[date, PlannedNight]:
    """The latest that was planned of each night."""
    return {row.night: row for row in rental.plannednight_rows.all()}


def stops_of(rental: Rental, days: Sequence[date]) -> list[Stop]:
    """One for each night. Where the place is open, the sun of the branch's own places is counted, and no time told."""
    planned = nights_of(rental)
    around = _latitude_around(rental.branch)
    return [_stop(day, planned.get(day), around) for day in days]


def _stop(day: date, row: PlannedNight | None, around: Decimal | None) -> Stop:
    if row is None:
        return Stop(day, latitude=around)
    return Stop(
        day, row.name, row.latitude if row.latitude is not None else around, row.longitude,
        mains=row.mains, water=row.water, waste=row.waste, frost=row.frost,
    )  # fmt: skip


def _latitude_around(branch: Branch) -> Decimal | None:
    latitudes = list(branch.night_places.values_list("latitude", flat=True))
    return sum(latitudes, Decimal(0)) / len(latitudes) if latitudes else None


def _light(stop: Stop, zone: str) -> Daylight | None:
    if stop.latitude is None or stop.longitude is None:
        return None
    return daylight(float(stop.latitude), float(stop.longitude), stop.day, zone_of(zone))


def carried_on(leg: Leg, planned: PlannedParty | None) -> Carried:
    """What the leg's unit has on board, by the readings of its pickup; in six queries."""
    return carried(_entered(leg, planned))


def _entered(leg: Leg, party: PlannedParty | None) -> Entered:
    layout = leg.unit.layout
    return Entered(
        layout=LayoutStores.objects.filter(layout=layout).first(),
        differs=UnitStores.objects.filter(unit=leg.unit).first(),
        loads=list(layout.loads.all()),
        instruments=list(Instrument.objects.filter(station__layout=layout, retired=False)),
        overrides={row.instrument_id: row for row in UnitInstrument.objects.filter(unit=leg.unit)},
        readings={row.item_id: row for row in _pickup_readings(leg)},
        party=party,
    )


def _pickup_readings(leg: Leg) -> QuerySet[Reading]:
    """In the order they were taken: of several the last counts."""
    return Reading.objects.filter(Q(walk__leg=leg) & Q(walk__kind="pickup")).select_related("item").order_by("at", "id")


def places_for(branch: Branch) -> list[NightPlace]:
    return list(branch.night_places.all())
