"""Whom an open dispute waits for, and until when it is to be answered."""

from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.guard import needed
from handover.dispute.models import Dispute
from shared.access.roles import Right
from shared.access.scope import require
from shared.clock import local
from shared.ledger.personal import worded

HANDED_ON = "dispute.handed_on"


@transaction.atomic
def hand_on(dispute: Dispute, *, waits_for: str, words: str, act: Act, answer_by: date | None = None) -> UUID:
    """To the customer or to others, with what is asked of them; or back. A later day needs no more than its reason.

    The id of the dispute: who waited when is told by the ledger. A bank's last day is not ours to move.
    """
    rental = dispute.rental
    require(act.by, Right.SETTLE, rental.branch_id)
    if act.entry_before(chain=rental.pk, kind=HANDED_ON):
        return dispute.pk
    dispute.refresh_from_db(fields=["state", "waits_for", "answer_by"])
    if not dispute.is_open:
        raise CannotBe(_("%(dispute)s is decided already. What is new is a new dispute.") % {"dispute": dispute})
    if waits_for not in Dispute.Waits.values:
        raise CannotBe(_("Choose whom it waits for."), "waits_for")
    asked = needed(words, "asked", _("Write what is asked of them, or what came back."))
    was = dispute.answer_by
    dispute.waits_for, dispute.answer_by = Dispute.Waits(waits_for), _day(dispute, answer_by, act)
    dispute.save(update_fields=["waits_for", "answer_by"])
    act.write(
        chain=rental.pk, kind=HANDED_ON, subject=dispute.pk,
        payload={
            "dispute": dispute.number, "waits_for": dispute.waits_for, "words": worded(asked),
            "was": was.isoformat(), "answer_by": dispute.answer_by.isoformat(),
        },
    )  # fmt: skip
    return dispute.pk


def _day(dispute: Dispute, answer_by: date | None, act: Act) -> date:
    if answer_by is None or answer_by == dispute.answer_by:
        return dispute.answer_by
    if dispute.claimed:
        raise CannotBe(_("The bank's last day stays: %(day)s.") % {"day": dispute.answer_by}, "answer_by")
    if answer_by < local(act.at, dispute.rental.branch.zone).date():
        raise CannotBe(_("Give a day from today on."), "answer_by")
    return answer_by
