"""Planning a trip: who goes and how they live, and where each night is spent. Advice for the customer, no promise."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.cabcard.models import PlannedNight, PlannedParty
from handover.cabcard.queries import MOST_NIGHTS, days_of, nights_of
from handover.rental.models import Rental
from handover.walkround.actions.holding import settle_load
from handover.walkround.models import WalkRound
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json

PARTY, NIGHTS = "trip.party_planned", "trip.nights_planned"
MOST_PEOPLE = 12
OVER = {Rental.State.BACK, Rental.State.SETTLED, Rental.State.CANCELLED}


@dataclass(frozen=True, slots=True)
class PartySaid:
    """`volts` is a rest voltage of the house battery, with hours at rest, where no display tells."""

    people: int
    habit: str
    drive_h: Decimal
    volts: Decimal | None = None
    rested_h: Decimal | None = None
    charging: bool = False
    celsius: Decimal | None = None


@dataclass(frozen=True, slots=True)
class NightSaid:
    """An empty name: the place is open. Degrees, north and east positive."""

    night: date
    name: str = ""
    latitude: Decimal | None = None
    longitude: Decimal | None = None
    mains: bool | None = None
    water: bool | None = None
    waste: bool | None = None
    frost: bool = False


@transaction.atomic
def plan_party(*, rental: Rental, said: PartySaid, act: Act) -> PlannedParty:
    """Keep who goes. Raises CannotBe, NotAllowed, Http404."""
    require(act.by, Right.BOOK, rental.branch_id)
    if earlier := act.replayed(PlannedParty, chain=rental.pk, kind=PARTY):
        return earlier
    _check_open(rental)
    if not 1 <= said.people <= MOST_PEOPLE:
        raise CannotBe(_("A party has 1 to %(most)s people.") % {"most": MOST_PEOPLE}, "people")
    row = PlannedParty.objects.create(
        id=act.key, rental=rental, at=act.at, by=act.by, people=said.people, habit=said.habit, drive_h=said.drive_h,
        volts=said.volts, rested_h=said.rested_h, charging=said.charging, celsius=said.celsius,
    )  # fmt: skip
    told: dict[str, Json] = {"people": said.people, "habit": said.habit, "drive_h": str(said.drive_h)}
    if said.volts is not None:
        told["volts"] = str(said.volts)
    act.write(chain=rental.pk, kind=PARTY, subject=row.pk, payload=told)
    _reckon_again(rental, act)
    return row


def _reckon_again(rental: Rental, act: Act) -> None:
    """Whoever stands at a pickup already must know what another party weighs."""
    for walk in WalkRound.objects.filter(leg__rental=rental, kind=WalkRound.Kind.PICKUP, finished_at=None):
        settle_load(walk, act)


@transaction.atomic
def plan_nights(*, rental: Rental, nights: tuple[NightSaid, ...], act: Act) -> list[PlannedNight]:
    """Keep the nights that differ from what was planned before: one entry for all. Raises CannotBe."""
    require(act.by, Right.BOOK, rental.branch_id)
    if act.entry_before(chain=rental.pk, kind=NIGHTS):
        return list(rental.plannednight_rows.filter(at=act.at))
    _check_open(rental)
    before = nights_of(rental)
    changed = [said for said in nights if _kept(before.get(said.night)) != said]
    for said in changed:
        _check_night(rental, said)
    rows = [_keep(rental, said, act) for said in changed]
    if rows:
        payload: dict[str, Json] = {"nights": [row.night.isoformat() for row in rows]}
        act.write(chain=rental.pk, kind=NIGHTS, subject=rows[0].pk, payload=payload)
    return rows


def _check_open(rental: Rental) -> None:
    rental.refresh_from_db(fields=["state"])
    if rental.state in OVER:
        raise CannotBe(_("%(number)s is over: there is no night left to plan.") % {"number": rental.number})


def _kept(row: PlannedNight | None) -> NightSaid | None:
    if row is None:
        return None
    return NightSaid(
        row.night, row.name, row.latitude, row.longitude, row.mains, row.water, row.waste, frost=row.frost
    )  # fmt: skip


def _check_night(rental: Rental, said: NightSaid) -> None:
    field = f"{said.night.isoformat()}-place"
    if said.night not in days_of(rental)[:MOST_NIGHTS]:
        raise CannotBe(_("%(day)s is no night of this rental.") % {"day": said.night.isoformat()}, field)
    if (said.latitude is None) != (said.longitude is None):
        raise CannotBe(_("A place needs both degrees, north and east, or neither."), field)
    if said.latitude is not None and not -90 <= said.latitude <= 90:
        raise CannotBe(_("Degrees north go from −90 to 90."), field)
    if said.longitude is not None and not -180 <= said.longitude <= 180:
        raise CannotBe(_("Degrees east go from −180 to 180."), field)
    if said.latitude is not None and not said.name:
        raise CannotBe(_("Give the place a name."), field)


def _keep(rental: Rental, said: NightSaid, act: Act) -> PlannedNight:
    return PlannedNight.objects.create(
        id=uuid5(act.key, said.night.isoformat()), rental=rental, at=act.at, by=act.by, night=said.night,
        name=said.name, latitude=said.latitude, longitude=said.longitude, mains=said.mains, water=said.water,
        waste=said.waste, frost=said.frost,
    )  # fmt: skip
