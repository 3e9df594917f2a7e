"""Who was not there at the end of a return is told in writing what it came to, and until when they can object."""

from dataclasses import replace
from uuid import uuid5

from django.db import transaction

from handover.acting import Act, CannotBe
from handover.customer.actions.making import make_link
from handover.customer.actions.sending import send_link
from handover.statement.actions import settle
from handover.statement.models import Statement


@transaction.atomic
def settle_and_tell(statement: Statement, *, act: Act) -> Statement:
    """Settles; a customer who was not present gets the link to their page by e-mail, where an address is known."""
    settled = settle(statement, act=act)
    customer = statement.rental.customer
    if settled.objection_until and customer.email:
        _tell(settled, customer.email, act)
    return settled


def _tell(statement: Statement, to: str, act: Act) -> None:
    """An address that is none keeps nothing from being settled: the page of the link shows that nothing went."""
    link = make_link(statement.rental, act=replace(act, key=uuid5(act.key, "link")))
    try:
        with transaction.atomic():
            send_link(link, to=to, act=replace(act, key=uuid5(act.key, "mail")))
    except CannotBe:
        return
