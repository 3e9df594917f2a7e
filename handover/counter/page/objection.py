"""An objection and how it stood so far."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from handover.acting import CannotBe
from handover.counter.fetching import Place, place_of
from handover.counter.lines import due_on, latest_statement, result_of
from handover.counter.models import Objection, ObjectionOutcome
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.roles import Right


@dataclass(frozen=True, slots=True)
class ObjectionPage:
    """`due` is what stands on the line now; None when it is set aside or gone."""

    place: Place
    objection: Objection
    outcomes: Sequence[ObjectionOutcome]
    due: Decimal | None
    may_answer: bool


def objection_page(objection: Objection, person: Person) -> ObjectionPage:
    rental = objection.rental
    try:
        due = due_on(result_of(latest_statement(rental)), objection.code, objection.ref)
    except CannotBe:
        due = None
    return ObjectionPage(
        place=place_of(rental),
        objection=objection,
        outcomes=list(objection.outcomes.select_related("by")),
        due=due,
        may_answer=rental.state == Rental.State.BACK and person.may(Right.SETTLE),
    )
