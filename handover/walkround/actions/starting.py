"""A walk-round begins: its sheet is copied, the answers to offer are found."""

from datetime import datetime, timedelta
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from fleet.models import Unit
from handover.acting import Act, CannotBe
from handover.paper.models import PaperSheet
from handover.rental.due import due_before_return
from handover.rental.models import Leg, Rental
from handover.turnaround.ready import check_ready
from handover.walkround.actions.holding import settle_kits, settle_load
from handover.walkround.arrival import KeyDrop, check_arrival, check_plate
from handover.walkround.asking import keep_sheet
from handover.walkround.models import Sheet, WalkRound
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.clock import local
from shared.dates import dated, moment_text
from shared.phrasebook import inside

READY_FOR = {
    WalkRound.Kind.PICKUP: {Rental.State.BOOKED, Rental.State.SWAP},
    WalkRound.Kind.RETURN: {Rental.State.OUT},
}


def walk_id_of(leg: Leg, kind: str) -> UUID:
    """Known before it begins: two tablets that begin the same one without a network begin one."""
    return uuid5(leg.pk, str(kind))


@transaction.atomic
def start_walk(
    leg: Leg,
    *,
    kind: WalkRound.Kind,
    act: Act,
    mode: str = WalkRound.Mode.ATTENDED,
    arrived_at: datetime | None = None,
    drop: KeyDrop | None = None,
    plate: str = "",
    paper: PaperSheet | None = None,
) -> WalkRound:
    """Begin pickup or return of a leg. arrived_at is when the customer was at the gate; now when not given.

    `paper` is the sheet that it is keyed in from.
    """
    rental = leg.rental
    require(act.by, Right.RETURN if kind == WalkRound.Kind.RETURN else Right.PICKUP, rental.branch_id)
    if earlier := act.replayed(WalkRound, chain=rental.pk, kind=f"{kind}.started"):
        return earlier
    leg.refresh_from_db(fields=["started_at", "ended_at"])
    rental.refresh_from_db(fields=["state"])
    arrived_at = _not_within_the_minute_of_leaving(leg, arrived_at or act.at)
    check_plate(leg.unit, plate)
    check_arrival(mode, drop, arrived_at=arrived_at, now=act.at)
    _check_ready(leg, kind, arrived_at)
    walk = WalkRound.objects.create(
        id=walk_id_of(leg, kind),
        leg=leg,
        kind=kind,
        mode=mode,
        sheet=_sheet(leg, kind, act),
        before=before_of(leg, kind),
        arrived_at=arrived_at,
        arrived_until=drop.until if drop else None,
        keys_found_at=drop.found_at if drop else None,
        keys_found_by=drop.found_by.strip() if drop else "",
        moved_first=bool(drop and drop.moved_first),
        paper=paper,
        started_at=act.at,
        started_by=act.by,
    )
    rental.state = Rental.State.RETURN if walk.is_return else Rental.State.PICKUP
    rental.save(update_fields=["state"])
    act.write(chain=rental.pk, kind=f"{kind}.started", subject=walk.pk, payload=_told(walk, drop, plate.strip()))
    settle_kits(walk, act)
    settle_load(walk, act)
    return walk


def _told(walk: WalkRound, drop: KeyDrop | None, plate: str) -> dict[str, Json]:
    told: dict[str, Json] = {
        "leg": walk.leg.number,
        "unit": walk.leg.unit.number,
        "mode": walk.mode,
        "arrived_at": walk.arrived_at.isoformat() if walk.arrived_at else None,
        "sheet": walk.sheet_id,
    }
    if walk.paper:
        told |= {"source": "paper", "paper_sheet": walk.paper.number}
    return told | (drop.as_told() if drop else {}) | ({"plate_seen": plate} if plate else {})


def _not_within_the_minute_of_leaving(leg: Leg, typed: datetime) -> datetime:
    """Arrivals are typed to the minute: the minute it left in is not before it left."""
    return leg.started_at if leg.started_at and timedelta(0) < leg.started_at - typed < timedelta(minutes=1) else typed


def _check_ready(leg: Leg, kind: WalkRound.Kind, arrived_at: datetime) -> None:
    rental = leg.rental
    if rental.state not in READY_FOR[kind]:
        raise CannotBe(
            _("%(rental)s is %(state)s: no %(kind)s can begin now.")
            % {"rental": rental.number, "state": inside(rental.get_state_display()), "kind": inside(str(kind.label))}
        )
    _check_turn(leg, kind)
    if kind == WalkRound.Kind.RETURN and leg.started_at and arrived_at < leg.started_at:
        left = local(leg.started_at, rental.branch.zone)
        raise CannotBe(
            _("It left on %(left)s; it cannot be back before that.") % {"left": moment_text(left)}, "arrived_at"
        )
    if kind == WalkRound.Kind.PICKUP:
        check_may_go(leg.unit, rental)


def _check_turn(leg: Leg, kind: WalkRound.Kind) -> None:
    """After a swap there are several legs: the one that is out comes back, the one that waits goes out."""
    if kind == WalkRound.Kind.RETURN and leg.ended_at:
        raise CannotBe(
            _("Unit %(unit)s is back already. The return is of the unit that is out.") % {"unit": leg.unit.number}
        )
    if kind == WalkRound.Kind.PICKUP and leg.started_at:
        raise CannotBe(
            _("Unit %(unit)s was handed over already. The pickup is of the unit that waits.")
            % {"unit": leg.unit.number}
        )


def check_may_go(unit: Unit, rental: Rental) -> None:
    """Raises CannotBe for a unit that is still out, on which something falls due, or is still to do."""
    _check_free(unit, rental)
    _check_due_dates(unit, rental)
    check_ready(unit, rental)


def _check_free(unit: Unit, rental: Rental) -> None:
    Unit.objects.select_for_update().get(pk=unit.pk)  # two rentals of a unit have no chain in common
    out = Leg.objects.filter(
        unit=unit,
        ended_at=None,
        rental__state__in=[Rental.State.PICKUP, Rental.State.OUT, Rental.State.SWAP, Rental.State.RETURN],
    )
    if other := out.exclude(rental=rental).select_related("rental").first():
        raise CannotBe(
            _("Unit %(unit)s is still out for %(rental)s. Take it back first.")
            % {"unit": unit.number, "rental": other.rental.number}
        )


def _check_due_dates(unit: Unit, rental: Rental) -> None:
    back = local(rental.planned_back_at, rental.branch.zone).date()
    if due := due_before_return(unit, rental):
        raise CannotBe(
            _(
                "Unit %(unit)s stays: %(kind)s is due on %(due_on)s, the rental runs to %(back)s. "
                "Have it done and the date entered, swap the unit, or have a manager let it go, with a reason."
            )
            % {
                "unit": unit.number,
                "kind": inside(due.get_kind_display()),
                "due_on": dated(due.due_on),
                "back": dated(back),
            }
        )


def _sheet(leg: Leg, kind: WalkRound.Kind, act: Act) -> Sheet:
    """A return asks what its pickup asked: tanks, equipment and seals as they were promised."""
    if kind == WalkRound.Kind.RETURN and (pickup := leg.walk_rounds.filter(kind=WalkRound.Kind.PICKUP).first()):
        return pickup.sheet
    return keep_sheet(leg.unit, today=local(act.at, leg.rental.branch.zone).date())


def before_of(leg: Leg, kind: WalkRound.Kind) -> WalkRound | None:
    """Whose answers it is set beside: this leg's pickup at a return, the unit's last return at a pickup."""
    if kind == WalkRound.Kind.RETURN:
        return leg.walk_rounds.filter(kind=WalkRound.Kind.PICKUP).first()
    earlier = WalkRound.objects.filter(leg__unit=leg.unit, kind=WalkRound.Kind.RETURN, finished_at__isnull=False)
    return earlier.order_by("-finished_at").first()
