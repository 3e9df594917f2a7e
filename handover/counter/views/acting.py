"""How a page of the counter acts: the decision and the next version of the statement together, or neither."""

from collections.abc import Callable

from django.db import transaction

from handover.acting import Act, CannotBe
from handover.keys import act_of
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from shared.access.requests import PersonRequest

NEVER_SHOWN_AGAIN = {"second_password", "csrfmiddlewaretoken", "key", "price_key"}


def acted(request: PersonRequest, rental: Rental, do: Callable[[Act], object]) -> CannotBe | None:
    """What could not be, or None when it is done and priced."""
    try:
        with transaction.atomic():
            do(act_of(request))
            _price_again(request, rental)
    except CannotBe as problem:
        return problem
    return None


def _price_again(request: PersonRequest, rental: Rental) -> None:
    """Once it was priced, every decision makes the next version: what is signed is what is shown."""
    fresh = Rental.objects.select_related("branch").get(pk=rental.pk)
    if fresh.state == Rental.State.BACK and fresh.statements.exists():
        draw_up(fresh, act=act_of(request, "price_key"))


def typed(request: PersonRequest) -> dict[str, str]:
    """What stays in the fields after a refusal; never a password."""
    return {name: str(value) for name, value in request.POST.items() if name not in NEVER_SHOWN_AGAIN}
