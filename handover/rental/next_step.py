"""What can be done next with a rental: one step, or the reason why none."""

from collections.abc import Callable
from dataclasses import dataclass
from uuid import UUID

from django.urls import reverse
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from fleet.models import DueDate
from handover.record.models import Record
from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.access.roles import Right
from shared.dates import dated
from shared.phrasebook import inside

State = Rental.State


@dataclass(frozen=True, slots=True)
class NextStep:
    """Either a way on (`href`), a form to fill in (`form`: begin-pickup or begin-return), or a `sentence` why not.

    `can_be_let_go`: this person may let the unit go with what keeps it here.
    """

    small: str = ""
    large: str = ""
    href: str = ""
    form: str = ""
    sentence: str = ""
    is_stop: bool = False
    can_be_let_go: bool = False


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a rental stands. `elsewhere` is the number of the rental its unit is still out for."""

    rental: Rental
    walk: WalkRound | None
    due: DueDate | None
    elsewhere: str
    not_ready: str
    record: Record | None


def _pickup(standing: Standing, person: Person) -> NextStep:
    unit = list(standing.rental.legs.all())[-1].unit
    if standing.due:
        what = inside(standing.due.get_kind_display())
        back = localtime(standing.rental.planned_back_at).date()
        return NextStep(
            sentence=_(
                "Unit %(unit)s stays: %(what)s is due on %(due_on)s, the rental runs to %(back)s. "
                "Have it done and the date entered, swap the unit, or have a manager let it go, with a reason."
            )
            % {"unit": unit.number, "what": what, "due_on": dated(standing.due.due_on), "back": dated(back)},
            is_stop=True,
            can_be_let_go=person.may(Right.RELEASE),
        )
    if standing.elsewhere:
        return NextStep(
            sentence=_("Unit %(unit)s is still out for %(elsewhere)s. Take it back first.")
            % {"unit": unit.number, "elsewhere": standing.elsewhere}
        )
    if standing.not_ready:
        return NextStep(sentence=standing.not_ready, is_stop=True, can_be_let_go=person.may(Right.RELEASE))
    if not person.may(Right.PICKUP):
        return NextStep(sentence=_("Booked. A host begins the pickup."))
    return NextStep(_("Customer is here"), _("Begin pickup"), form="begin-pickup")


def _swap(standing: Standing, person: Person) -> NextStep:
    """The first unit is read; the other goes out by its own pickup."""
    step = _pickup(standing, person)
    unit = list(standing.rental.legs.all())[-1].unit
    if step.form:
        return NextStep(_("Unit swap"), _("Begin pickup of unit %(unit)s") % {"unit": unit.number}, form=step.form)
    if step.is_stop or standing.elsewhere:
        return NextStep(
            sentence=_("%(sentence)s Another unit can be chosen under Trip.") % {"sentence": step.sentence},
            is_stop=step.is_stop,
            can_be_let_go=step.can_be_let_go,
        )
    return NextStep(sentence=_("Unit swap: a host begins the pickup of unit %(unit)s.") % {"unit": unit.number})


def _walking(standing: Standing, person: Person) -> NextStep:
    if standing.walk is None:
        return NextStep(sentence=_("Under way, but no walk-round is open. An administrator can look into it."))
    is_return = standing.walk.is_return
    if not person.may(Right.RETURN if is_return else Right.PICKUP):
        return NextStep(sentence=_("The return is under way.") if is_return else _("The pickup is under way."))
    go_on = _("Go on with return") if is_return else _("Go on with pickup")
    return NextStep(_("Walk-round"), go_on, href=walk_address(standing.walk.pk))


def walk_address(walk: UUID) -> str:
    return reverse("walk", args=[walk])


def _statement(standing: Standing, person: Person) -> NextStep:
    if not person.may(Right.SETTLE):
        return NextStep(sentence=_("Back. The return bay prices it and has it signed."))
    return NextStep(
        _("What is owed, and why"), _("To the statement"), href=reverse("statement", args=[standing.rental.pk])
    )


def _record(standing: Standing, person: Person) -> NextStep:
    if standing.record is None:
        return NextStep(sentence=_("Settled. The record was not ordered; a manager can look into it."))
    return NextStep(_("Signed and sealed"), _("Open the Record"), href=reverse("record", args=[standing.record.pk]))


def _out(standing: Standing, person: Person) -> NextStep:
    if not person.may(Right.RETURN):
        return NextStep(sentence=_("Out. The return bay begins the return when it is back."))
    return NextStep(_("It is back"), _("Begin return"), form="begin-return")


def _cancelled(standing: Standing, person: Person) -> NextStep:
    return NextStep(sentence=_("Cancelled. Nothing more is done here."))


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
