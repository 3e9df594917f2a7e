"""One unit given back, another handed over. Both are read: the first by a return, the second by its own pickup."""

from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from fleet.models import Unit
from handover.acting import Act, CannotBe
from handover.rental.models import Leg, Rental
from handover.trip.guard import begin, check_happened, second_key, words, written
from handover.trip.legs import check_free
from handover.trip.models import Swap
from handover.walkround.actions.starting import check_may_go, start_walk
from handover.walkround.models import WalkRound
from shared.access.roles import Right
from shared.access.scope import require
from shared.phrasebook import inside

BEGUN, CHANGED = "trip.swap_begun", "trip.swap_unit_changed"


@dataclass(frozen=True, slots=True)
class SwapPlan:
    """`at` is when the customer gave the first unit up: its leg ends there. `mode` is attended or absent."""

    unit: Unit
    cause: str
    reason: str
    place: str
    at: datetime
    mode: str = WalkRound.Mode.ATTENDED
    moved: str = ""


@transaction.atomic
def begin_swap(*, rental: Rental, plan: SwapPlan, act: Act) -> Swap:
    """Begins the return walk-round of the unit that is out; its end makes the other unit's leg. Raises CannotBe."""
    if earlier := begin(rental, Swap, BEGUN, Right.PICKUP, act):
        return earlier
    check_happened(rental, plan.at, act)
    leg = _leg_out(rental)
    _check_plan(plan)
    _check_unit(plan.unit, leg, rental, act)
    swap = Swap.objects.create(
        id=act.key, rental=rental, at=plan.at, noted_at=act.at, by=act.by, from_leg=leg, to_unit=plan.unit,
        cause=plan.cause, reason=plan.reason.strip(), place=plan.place.strip(), moved=plan.moved.strip(),
    )  # fmt: skip
    act.write(
        chain=rental.pk, kind=BEGUN, subject=swap.pk,
        payload={
            "leg": leg.number, "unit": leg.unit.number, "to_unit": plan.unit.number, "cause": plan.cause,
            "at": written(plan.at, rental), "reason": words(swap.reason), "place": words(swap.place),
            "moved": words(swap.moved),
        },
    )  # fmt: skip
    start_walk(
        leg, kind=WalkRound.Kind.RETURN, mode=plan.mode, arrived_at=plan.at,
        act=replace(act, key=second_key(act.key, "return")),
    )  # fmt: skip
    rental.refresh_from_db(fields=["state"])
    return swap


def _leg_out(rental: Rental) -> Leg:
    if rental.state != Rental.State.OUT:
        raise CannotBe(
            _("%(rental)s is %(state)s. A unit is swapped while it is out.")
            % {"rental": rental.number, "state": inside(rental.get_state_display())}
        )
    return rental.legs.select_related("unit", "rental__branch").get(ended_at__isnull=True)


def _check_plan(plan: SwapPlan) -> None:
    if plan.cause not in {Leg.EndedBy.OPERATOR, Leg.EndedBy.CUSTOMER}:
        raise CannotBe(_("Say whose cause it was: the branch’s or the customer’s. Fuel and waiting go by it."), "cause")
    if not plan.reason.strip():
        raise CannotBe(_("A swap needs its reason: what happened."), "reason")
    if not plan.place.strip():
        raise CannotBe(_("Say where the units change hands."), "place")
    if plan.mode not in {WalkRound.Mode.ATTENDED, WalkRound.Mode.ABSENT}:
        raise CannotBe(_("At a swap the customer is present or absent."), "mode")


def _check_unit(unit: Unit, leg: Leg, rental: Rental, act: Act) -> None:
    require(act.by, Right.PICKUP, unit.branch_id)
    if unit.pk == leg.unit_id:
        raise CannotBe(_("Unit %(unit)s is the one that is out. Choose another.") % {"unit": unit.number}, "unit")
    if unit.retired:
        raise CannotBe(_("Unit %(unit)s is retired. Choose another.") % {"unit": unit.number}, "unit")
    try:
        end = max(rental.planned_back_at, act.at)
        check_free(unit, rental, act.at, end, instead=_("Choose another unit"), field="unit")
        check_may_go(unit, rental)
    except CannotBe as problem:
        raise CannotBe(problem.sentence, "unit") from problem


@transaction.atomic
def choose_other_unit(*, rental: Rental, unit: Unit, act: Act) -> Swap:
    """Another unit than planned, as long as its pickup has not begun. Raises CannotBe."""
    if earlier := begin(rental, Swap, CHANGED, Right.PICKUP, act):
        return earlier
    if rental.state != Rental.State.SWAP:
        raise CannotBe(
            _("%(rental)s is %(state)s: no unit waits to be handed over.")
            % {"rental": rental.number, "state": inside(rental.get_state_display())}
        )
    leg = rental.legs.select_related("unit", "swapped_in_by").get(started_at=None)
    swap: Swap = leg.swapped_in_by
    _check_unit(unit, leg, rental, act)
    payload = {"was": leg.unit.number, "now": unit.number}
    leg.unit = swap.to_unit = unit
    leg.save(update_fields=["unit"])
    swap.save(update_fields=["to_unit"])
    act.write(chain=rental.pk, kind=CHANGED, subject=swap.pk, payload=payload)
    return swap
