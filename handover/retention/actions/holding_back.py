"""A legal hold on a rental: placed with a reason, until a day or until it is lifted."""

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.retention.models import LegalHold
from shared.access.roles import Right
from shared.access.scope import require
from shared.clock import local
from shared.ledger.personal import worded

PLACED, LIFTED = "hold.placed", "hold.lifted"


@transaction.atomic
def place_hold(rental: Rental, *, reason: str, until: date | None, act: Act) -> LegalHold:
    """Raises CannotBe at `reason` or `until`."""
    require(act.by, Right.VERIFY, rental.branch_id)
    if earlier := act.replayed(LegalHold, chain=rental.pk, kind=PLACED):
        return earlier
    if not reason.strip():
        raise CannotBe(_("Say why nothing of this rental may go: a claim, a court, the police."), "reason")
    if until and until < local(act.at, rental.branch.zone).date():
        raise CannotBe(_("The last day is over already. Give a later one, or none."), "until")
    hold = LegalHold.objects.create(
        id=act.key, rental=rental, reason=reason.strip(), until=until, at=act.at, by=act.by
    )  # fmt: skip
    told = {"reason": worded(hold.reason), "until": until.isoformat() if until else None}
    act.write(chain=rental.pk, kind=PLACED, subject=hold.pk, payload=told)
    return hold


@transaction.atomic
def lift_hold(hold: LegalHold, *, act: Act) -> LegalHold:
    """From now on the schedule counts again. Raises CannotBe when it was lifted before."""
    rental = hold.rental
    require(act.by, Right.VERIFY, rental.branch_id)
    if earlier := act.replayed(LegalHold, chain=rental.pk, kind=LIFTED):
        return earlier
    hold.refresh_from_db(fields=["lifted_at"])
    if hold.lifted_at is not None:
        raise CannotBe(_("This hold was lifted already."))
    hold.lifted_at, hold.lifted_by = act.at, act.by
    hold.save(update_fields=["lifted_at", "lifted_by"])
    act.write(chain=rental.pk, kind=LIFTED, subject=hold.pk, payload={})
    return hold
