"""A dispute is opened: by the customer with their link, by staff for them, or by the card's bank."""

from dataclasses import asdict
from datetime import date, timedelta
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, AnyonesAct, CannotBe
from handover.counter.actions.waiving import check_amount
from handover.counter.guard import needed
from handover.counter.lines import due_on, result_of
from handover.dispute.line import StatementLine
from handover.dispute.models import Dispute, DisputePhoto
from handover.photo.taking_in import TakenIn
from handover.rental.models import NumberSeries, Rental
from handover.statement.models import Statement
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.clock import local
from shared.dates import dated
from shared.ledger.personal import personal
from shared.phrasebook import inside

OPENED = "dispute.opened"
PRICED = frozenset({Rental.State.BACK, Rental.State.SETTLED})


@transaction.atomic
def open_dispute(
    line: StatementLine, *, words: str, by_customer: bool, act: AnyonesAct, photo: TakenIn | None = None
) -> Dispute:
    """Contest a line, also after it is settled. `act.by` is None for a customer whose link the caller has checked.

    `photo` is taken in before, outside the transaction. Raises CannotBe at `words`, or for a line that asks for
    nothing or is contested already.
    """
    rental = line.statement.rental
    if earlier := _begin(rental, act):
        return earlier
    dispute = _of_line(line, words, act, by_customer=by_customer)
    dispute.number = NumberSeries.take(rental.branch, "dispute")
    dispute.save(force_insert=True)
    if photo is not None:
        DisputePhoto.objects.create(dispute=dispute, at=dispute.at, **asdict(photo))
    act.write(chain=rental.pk, kind=OPENED, subject=dispute.pk, payload=_told(dispute, photo))
    return dispute


@transaction.atomic
def was_opened(line: StatementLine, *, words: str, by_customer: bool, act: AnyonesAct) -> Dispute | None:
    """The dispute of a replay. Asked before a photo is taken in: whoever sends what is refused, or the same again,
    leaves no file in the store. Raises CannotBe as open_dispute does.
    """
    if earlier := _begin(line.statement.rental, act):
        return earlier
    _of_line(line, words, act, by_customer=by_customer).check_written()
    return None


def _of_line(line: StatementLine, words: str, act: AnyonesAct, *, by_customer: bool) -> Dispute:
    """Not saved, and without its number. Raises CannotBe."""
    rental = line.statement.rental
    if due_on(result_of(line.statement), line.code, line.ref) <= 0:
        raise CannotBe(_("Nothing is asked for by this line, so there is nothing to contest."))
    _check_not_open(rental, line)
    return Dispute(
        id=act.key, rental=rental, statement=line.statement, code=line.code, ref=line.ref, title=line.title[:200],
        words=needed(words, "words", _said_nothing(by_customer=by_customer)),
        by_customer=by_customer, answer_by=_answer_by(rental, act), at=act.at, by=act.by,
    )  # fmt: skip


@transaction.atomic
def open_chargeback(
    statement: Statement, *, claimed: Decimal | None, reason_code: str, answer_by: date | None, words: str, act: Act
) -> Dispute:
    """The card's bank asks the payment back, or part of it. `answer_by` is the last day it takes an answer."""
    rental = statement.rental
    if earlier := _begin(rental, act):
        return earlier
    if claimed is None:
        raise CannotBe(_("Write the amount that the bank claims back."), "claimed")
    check_amount(rental, claimed)
    if answer_by is None or answer_by < local(act.at, rental.branch.zone).date():
        raise CannotBe(_("Give the last day on which the bank takes an answer, from today on."), "answer_by")
    dispute = Dispute.objects.create(
        id=act.key, rental=rental, statement=statement, kind=Dispute.Kind.CHARGEBACK, title="Chargeback",
        number=NumberSeries.take(rental.branch, "dispute"), claimed=claimed,
        reason_code=reason_code.strip(), by_customer=False,
        words=needed(words, "words", _("Write what the bank gives as the reason.")), answer_by=answer_by,
        at=act.at, by=act.by,
    )  # fmt: skip
    act.write(chain=rental.pk, kind=OPENED, subject=dispute.pk, payload=_told(dispute, None))
    return dispute


def _begin(rental: Rental, act: AnyonesAct) -> Dispute | None:
    if act.by is not None:
        require(act.by, Right.SETTLE, rental.branch_id)
    if earlier := act.replayed(Dispute, chain=rental.pk, kind=OPENED):
        return earlier
    rental.refresh_from_db(fields=["state"])
    if rental.state not in PRICED:
        raise CannotBe(
            _("%(rental)s is %(state)s: a line can be contested once it is priced.")
            % {"rental": rental.number, "state": inside(rental.get_state_display())}
        )
    return None


def _check_not_open(rental: Rental, line: StatementLine) -> None:
    same = Dispute.objects.filter(rental=rental, code=line.code, ref=line.ref, state=Dispute.State.OPEN).first()
    if same is not None:
        raise CannotBe(
            _("This line is contested already, as dispute %(number)s. It is answered by %(day)s.")
            % {"number": same.number, "day": dated(same.answer_by)}
        )


def _said_nothing(*, by_customer: bool) -> str:
    if by_customer:
        return _("Nothing is written yet. Write in your own words what is not right.")
    return _("Nothing is written yet. Write what the customer says, in their words.")


def _answer_by(rental: Rental, act: AnyonesAct) -> date:
    """The branch's days, counted from the day after."""
    return local(act.at, rental.branch.zone).date() + timedelta(days=rental.branch.dispute_days)


def _told(dispute: Dispute, photo: TakenIn | None) -> dict[str, Json]:
    return {
        "number": dispute.number,
        "kind": dispute.kind,
        "version": dispute.statement.version,
        "code": dispute.code,
        "ref": dispute.ref,
        "words": dict(personal(dispute.words, kind="customer.objection")),
        "by_customer": dispute.by_customer,
        "answer_by": dispute.answer_by.isoformat(),
        "claimed": str(dispute.claimed) if dispute.claimed is not None else None,
        "reason_code": dispute.reason_code,
        "photo": photo.kept_sha256 if photo else None,
    }
