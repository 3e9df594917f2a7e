"""Money given back that belongs to no line: goodwill, a service that failed, something paid twice."""

from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.actions.waiving import check_amount, check_limit
from handover.counter.guard import begin, needed
from handover.counter.models import Credit
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.roles import Right
from shared.ledger.personal import worded


@transaction.atomic
def give_credit(
    rental: Rental, *, kind: str, amount: Decimal | None, words: str, act: Act, second: Person | None = None
) -> Credit:
    """A credit of the next version. Above the limit of the role a second person confirms. Raises CannotBe."""
    if earlier := begin(rental, Credit, "credit.given", act, right=Right.WAIVE):
        return earlier
    if kind not in Credit.Kind.values:
        raise CannotBe(_("Choose what it is for from the list."), "kind")
    if amount is None:
        raise CannotBe(_("Give the amount that goes back."), "amount")
    check_amount(rental, amount)
    needed(words, "words", _("Say in a few words why: a manager reads it months later."))
    check_limit(rental, amount, by=act.by, second=second)
    credit = Credit.objects.create(
        id=act.key, rental=rental, kind=kind, amount=amount, words=words.strip(), second=second, at=act.at, by=act.by
    )
    act.write(
        chain=rental.pk,
        kind="credit.given",
        subject=credit.pk,
        payload={
            "kind": kind,
            "amount": str(amount),
            "words": worded(credit.words),
            "role": act.by.role,
            "second": str(second.pk) if second else None,
        },
    )
    return credit
