"""Time that is never late: waiting on the branch, and from when lateness does not run. And whom lateness cost."""

from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.settlement.amounts import check_amount
from handover.trip.guard import begin, check_happened, said, words, written
from handover.trip.models import DisplacedCustomer, LatenessStop, OperatorWait
from shared.access.roles import Right

WAITED, STOPPED, DISPLACED = "trip.wait", "trip.lateness_stopped", "trip.customer_displaced"


@transaction.atomic
def note_wait(*, rental: Rental, start: datetime, until: datetime, cause: str, act: Act) -> OperatorWait:
    """The customer waited on the branch. Raises CannotBe."""
    if earlier := begin(rental, OperatorWait, WAITED, Right.SETTLE, act):
        return earlier
    check_happened(rental, start, act, field="start")
    check_happened(rental, until, act, field="until")
    if until <= start:
        raise CannotBe(_("The wait begins at %(start)s; it ends after that.") % {"start": said(start, rental)}, "until")
    if not cause.strip():
        raise CannotBe(_("Say what the customer waited for."), "cause")
    wait = OperatorWait.objects.create(
        id=act.key, rental=rental, at=start, until=until, cause=cause.strip(), noted_at=act.at, by=act.by
    )
    act.write(
        chain=rental.pk, kind=WAITED, subject=wait.pk,
        payload={"from": written(start, rental), "to": written(until, rental), "cause": words(wait.cause)},
    )  # fmt: skip
    return wait


@transaction.atomic
def stop_lateness(*, rental: Rental, at: datetime, cause: str, act: Act, reference: str = "") -> LatenessStop:
    """From then on nothing is late. Of several the earliest counts. Raises CannotBe."""
    if earlier := begin(rental, LatenessStop, STOPPED, Right.SETTLE, act):
        return earlier
    check_happened(rental, at, act)
    if cause not in LatenessStop.Cause.values:
        raise CannotBe(_("Lateness stops for a theft report, a breakdown report or the branch’s own word."), "cause")
    stop = LatenessStop.objects.create(
        id=act.key, rental=rental, at=at, cause=cause, reference=reference.strip(), noted_at=act.at, by=act.by
    )
    act.write(
        chain=rental.pk, kind=STOPPED, subject=stop.pk,
        payload={"at": written(at, rental), "cause": cause, "reference": words(stop.reference)},
    )  # fmt: skip
    return stop


@transaction.atomic
def note_displaced(*, rental: Rental, at: datetime, cost: Decimal, proof: str, act: Act) -> DisplacedCustomer:
    """What the next customer cost, with its proof. The latest counts. Raises CannotBe."""
    if earlier := begin(rental, DisplacedCustomer, DISPLACED, Right.SETTLE, act):
        return earlier
    check_happened(rental, at, act)
    check_amount(cost, rental.currency, "cost")
    if not proof.strip():
        raise CannotBe(_("Without its proof this cost cannot be charged: name the invoice."), "proof")
    displaced = DisplacedCustomer.objects.create(
        id=act.key, rental=rental, at=at, cost=cost, proof=proof.strip(), noted_at=act.at, by=act.by
    )
    act.write(
        chain=rental.pk, kind=DISPLACED, subject=displaced.pk,
        payload={"at": written(at, rental), "cost": str(cost), "proof": words(displaced.proof)},
    )  # fmt: skip
    return displaced
