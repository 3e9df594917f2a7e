"""A dispute is decided. What changes the price goes the one way there is: opened again, waived, priced, settled."""

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any
from uuid import uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.actions import reopen, waive
from handover.counter.actions.waiving import Reduction
from handover.counter.guard import needed
from handover.counter.lines import latest_statement
from handover.counter.models import Reopening, Waiver
from handover.dispute.actions.letting_know import order_letter
from handover.dispute.line import ZERO, due_now
from handover.dispute.models import Decision, Dispute
from handover.dispute.money import money_of
from handover.rental.models import Rental
from handover.statement.actions import draw_up, settle
from handover.statement.models import Signature, Statement
from handover.statement.signing import Signed, keep_signature
from shared.access.models import Person
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.ledger.personal import personal
from shared.money import money_text

DECIDED = "dispute.decided"
Outcome = Decision.Outcome
WORDS_OF_THE_COUNTER = 300


@dataclass(frozen=True, slots=True)
class Verdict:
    """`left` is what stays due on a reduced line; `reason` of the list of waivers, for all that lowers the price.

    `words` go to the customer as they are.
    """

    outcome: str
    words: str
    left: Decimal | None = None
    reason: str = Waiver.Reason.UNCLEAR_BASELINE


@transaction.atomic
def decide(dispute: Dispute, verdict: Verdict, *, act: Act, second: Person | None = None) -> Decision:
    """By a manager; what is taken off a line stays within the limits of waivers. Raises CannotBe.

    A settled rental is opened again, priced and settled with the difference, and a new record is made. One that is
    open is priced; it is settled at the counter.
    """
    rental = dispute.rental
    require(act.by, Right.REOPEN, rental.branch_id)
    if earlier := act.replayed(Decision, chain=rental.pk, kind=DECIDED):
        return earlier
    dispute.refresh_from_db(fields=["state"])
    if not dispute.is_open:
        raise CannotBe(_("%(dispute)s is decided already. What is new is a new dispute.") % {"dispute": dispute})
    if verdict.outcome not in Outcome.values:
        raise CannotBe(_("Choose how it is decided."), "outcome")
    words = needed(verdict.words, "words", _("Give the reason. The customer reads it as it is written here."))
    verdict = replace(verdict, words=words)
    decision = _of_chargeback(dispute, verdict, act) if dispute.claimed else _of_line(dispute, verdict, act, second)
    dispute.state = Dispute.State.DECIDED
    dispute.save(update_fields=["state"])
    if not dispute.claimed:
        order_letter(decision)
    act.write(chain=rental.pk, kind=DECIDED, subject=decision.pk, payload=_told(decision))
    return decision


def _of_line(dispute: Dispute, verdict: Verdict, act: Act, second: Person | None) -> Decision:
    rental = dispute.rental
    rental.refresh_from_db(fields=["state"])
    latest, was_settled = latest_statement(rental), rental.state == Rental.State.SETTLED
    before = due_now(latest, dispute.code, dispute.ref)
    reduction = _reduction(dispute, verdict, before)
    if was_settled:
        said = _of_the_counter(dispute, verdict)
        reopen(latest, cause=Reopening.Cause.DISPUTE, words=said, act=_own(act, "reopen"))
    waiver = _waived(dispute, reduction, act, second) if reduction else None
    statement = draw_up(Rental.objects.select_related("branch", "customer").get(pk=rental.pk), act=_own(act, "price"))
    if was_settled:
        _close(statement, dispute, act)
    after = due_now(statement, dispute.code, dispute.ref)
    return _kept(dispute, verdict, act, before=before, after=after, statement=statement, waiver=waiver, second=second)


def _reduction(dispute: Dispute, verdict: Verdict, before: Decimal) -> Reduction | None:
    """None where the price stays. Raises CannotBe for a line that is gone or a rest that is none."""
    if verdict.outcome == Outcome.UPHELD:
        return None
    if not before:
        if verdict.outcome == Outcome.WITHDRAWN:
            return None
        raise CannotBe(_("Nothing is due on this line any more: withdraw it, or say that it stands."), "outcome")
    left = _left(dispute, verdict, before) if verdict.outcome == Outcome.REDUCED else ZERO
    return Reduction(verdict.reason, _of_the_counter(dispute, verdict), amount=before - left)


def _left(dispute: Dispute, verdict: Verdict, before: Decimal) -> Decimal:
    if verdict.left is None or not 0 < verdict.left < before:
        raise CannotBe(
            _("Write what stays due on this line: above 0 and below %(before)s.")
            % {"before": money_text(before, dispute.rental.currency)},
            "left",
        )
    return verdict.left


def _waived(dispute: Dispute, reduction: Reduction, act: Act, second: Person | None) -> Waiver:
    own = _own(act, "waive")
    return waive(dispute.rental, code=dispute.code, ref=dispute.ref, reduction=reduction, act=own, second=second)


def _close(statement: Statement, dispute: Dispute, act: Act) -> None:
    """Nobody draws a signature at a desk: both stand there with the reason, and the difference is settled."""
    reason = f"Decided at the desk in dispute {dispute.number}"
    absent = Signed(
        "customer", statement.rental.customer.name, outcome=Signature.Outcome.ABSENT,
        reason=f"{reason}; the customer is told by letter.",
    )  # fmt: skip
    staff = Signed("staff", str(act.by), reason=f"{reason}, signed in under their own name.", drawn=False)
    for signed, kind in ((absent, "statement.unsigned"), (staff, "statement.signed")):
        own = _own(act, signed.role)
        keep_signature(statement, signed=signed, content_sha256=statement.digest, kind=kind, act=own)
    settle(statement, act=_own(act, "settle"))


def _of_chargeback(dispute: Dispute, verdict: Verdict, act: Act) -> Decision:
    """Against the bank's claim or with it: no price changes. What is asked for is never more than was kept."""
    if verdict.outcome not in {Outcome.UPHELD, Outcome.WITHDRAWN}:
        raise CannotBe(
            _("A chargeback is contested or accepted. A line is reduced in a dispute of its own."), "outcome"
        )
    claim = money_of(dispute.rental.movements.all()).claim(dispute.claimed or ZERO)
    after = claim.asked if verdict.outcome == Outcome.UPHELD else ZERO
    return _kept(dispute, verdict, act, before=claim.claimed, after=after)


def _kept(dispute: Dispute, verdict: Verdict, act: Act, **said: Any) -> Decision:
    return Decision.objects.create(
        id=act.key, dispute=dispute, outcome=Outcome(verdict.outcome), words=verdict.words, at=act.at, by=act.by, **said
    )


def _of_the_counter(dispute: Dispute, verdict: Verdict) -> str:
    """The reason within the room that waivers and reopenings have; whole it stands with the decision."""
    said = f"Dispute {dispute.number}: {verdict.words}"
    return said if len(said) <= WORDS_OF_THE_COUNTER else f"{said[: WORDS_OF_THE_COUNTER - 2]} …"


def _own(act: Act, step: str) -> Act:
    """A key that follows from the act's own, so that a replay does nothing twice."""
    return replace(act, key=uuid5(act.key, step))


def _told(decision: Decision) -> dict[str, Json]:
    return {
        "dispute": decision.dispute.number,
        "outcome": decision.outcome,
        "words": dict(personal(decision.words, kind="dispute.reason")),
        "before": str(decision.before),
        "after": str(decision.after),
        "version": decision.statement.version if decision.statement else None,
        "waiver": str(decision.waiver_id) if decision.waiver_id else None,
        "second": str(decision.second_id) if decision.second_id else None,
    }
