"""What can be done next with a rental: one step, or the reason why none."""

from collections.abc import Callable
from dataclasses import dataclass
from uuid import UUID

from django.urls import reverse
from django.utils.timezone import localtime

from fleet.models import DueDate
from handover.record.models import Record
from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.access.roles import Right

State = Rental.State


@dataclass(frozen=True, slots=True)
class NextStep:
    """Either a way on (`href`), a form to fill in (`form`: begin-pickup or begin-return), or a `sentence` why not."""

    small: str = ""
    large: str = ""
    href: str = ""
    form: str = ""
    sentence: str = ""
    is_stop: bool = False


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a rental stands. `elsewhere` is the number of the rental its unit is still out for."""

    rental: Rental
    walk: WalkRound | None
    due: DueDate | None
    elsewhere: str
    record: Record | None


def _pickup(standing: Standing, person: Person) -> NextStep:
    unit = list(standing.rental.legs.all())[-1].unit
    if standing.due:
        what = standing.due.get_kind_display().lower()
        back = localtime(standing.rental.planned_back_at).date()
        return NextStep(
            sentence=f"Unit {unit.number} stays: {what} is due on {standing.due.due_on:%-d %b %Y}, the rental runs to "
            f"{back:%-d %b %Y}. Have it done and the date entered, or swap the unit.",
            is_stop=True,
        )
    if standing.elsewhere:
        return NextStep(sentence=f"Unit {unit.number} is still out for {standing.elsewhere}. Take it back first.")
    if not person.may(Right.PICKUP):
        return NextStep(sentence="Booked. A host begins the pickup.")
    return NextStep("Customer is here", "Begin pickup", form="begin-pickup")


def _swap(standing: Standing, person: Person) -> NextStep:
    """The first unit is read; the other goes out by its own pickup."""
    step = _pickup(standing, person)
    unit = list(standing.rental.legs.all())[-1].unit
    if step.form:
        return NextStep("Unit swap", f"Begin pickup of unit {unit.number}", form=step.form)
    if step.is_stop or standing.elsewhere:
        return NextStep(sentence=f"{step.sentence} Another unit can be chosen under Trip.", is_stop=step.is_stop)
    return NextStep(sentence=f"Unit swap: a host begins the pickup of unit {unit.number}.")


def _walking(standing: Standing, person: Person) -> NextStep:
    if standing.walk is None:
        return NextStep(sentence="Under way, but no walk-round is open. An administrator can look into it.")
    right, word = (Right.RETURN, "return") if standing.walk.is_return else (Right.PICKUP, "pickup")
    if not person.may(right):
        return NextStep(sentence=f"The {word} is under way.")
    return NextStep("Walk-round", f"Go on with {word}", href=walk_address(standing.walk.pk))


def walk_address(walk: UUID) -> str:
    return reverse("walk", args=[walk])


def _statement(standing: Standing, person: Person) -> NextStep:
    if not person.may(Right.SETTLE):
        return NextStep(sentence="Back. The return bay prices it and has it signed.")
    return NextStep("What is owed, and why", "To the statement", href=reverse("statement", args=[standing.rental.pk]))


def _record(standing: Standing, person: Person) -> NextStep:
    if standing.record is None:
        return NextStep(sentence="Settled. The record was not ordered; a manager can look into it.")
    return NextStep("Signed and sealed", "Open the Record", href=reverse("record", args=[standing.record.pk]))


def _out(standing: Standing, person: Person) -> NextStep:
    if not person.may(Right.RETURN):
        return NextStep(sentence="Out. The return bay begins the return when it is back.")
    return NextStep("It is back", "Begin return", form="begin-return")


def _cancelled(standing: Standing, person: Person) -> NextStep:
    return NextStep(sentence="Cancelled. Nothing more is done here.")


STEPS: dict[str, Callable[[Standing, Person], NextStep]] = {
    State.BOOKED: _pickup,
    State.PICKUP: _walking,
    State.OUT: _out,
    State.SWAP: _swap,
    State.RETURN: _walking,
    State.BACK: _statement,
    State.SETTLED: _record,
    State.CANCELLED: _cancelled,
}


def next_step(standing: Standing, person: Person) -> NextStep:
    return STEPS[standing.rental.state](standing, person)
