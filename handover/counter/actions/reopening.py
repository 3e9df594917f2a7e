"""A settled statement is opened again, with its cause."""

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.guard import needed
from handover.counter.models import Reopening
from handover.rental.models import Rental
from handover.statement.models import Statement
from shared.access.roles import Right
from shared.access.scope import require
from shared.ledger.personal import worded
from shared.phrasebook import inside


@transaction.atomic
def reopen(statement: Statement, *, cause: str, words: str, act: Act) -> Reopening:
    """The rental is back to settle; the next version states the difference. What was settled stays as it is."""
    rental = statement.rental
    require(act.by, Right.REOPEN, rental.branch_id)
    if earlier := act.replayed(Reopening, chain=rental.pk, kind="statement.reopened"):
        return earlier
    rental.refresh_from_db(fields=["state"])
    if rental.state != Rental.State.SETTLED:
        state = inside(rental.get_state_display())
        raise CannotBe(
            _("%(rental)s is %(state)s: only what is settled is opened again.")
            % {"rental": rental.number, "state": state}
        )
    if rental.statements.last() != statement:
        raise CannotBe(_("%(statement)s was replaced by a later version. Open the latest.") % {"statement": statement})
    if cause not in Reopening.Cause.values:
        raise CannotBe(_("Choose the cause from the list."), "cause")
    reopening = Reopening.objects.create(
        id=act.key, rental=rental, statement=statement, cause=cause, at=act.at, by=act.by,
        words=needed(words, "words", _("Say what came up: the customer is told with the next version.")),
    )  # fmt: skip
    rental.state = Rental.State.BACK
    rental.save(update_fields=["state"])
    act.write(
        chain=rental.pk,
        kind="statement.reopened",
        subject=reopening.pk,
        payload={
            "version": statement.version,
            "total": str(statement.total),
            "result_sha256": statement.digest,
            "cause": cause,
            "words": worded(reopening.words),
        },
    )
    return reopening
