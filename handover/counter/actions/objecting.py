"""The customer objects to a line; how it stands is said line by line. Signing stays possible throughout."""

from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.guard import begin, needed
from handover.counter.lines import due_on, latest_statement, result_of
from handover.counter.models import Objection, ObjectionOutcome
from handover.statement.models import Statement
from shared.clock import local
from shared.ledger.personal import personal, worded
from shared.money import money_text

Outcome = ObjectionOutcome.Outcome


@transaction.atomic
def object_to_line(statement: Statement, *, code: str, ref: str, title: str, words: str, act: Act) -> Objection:
    """Kept as the customer says it."""
    rental = statement.rental
    if earlier := begin(rental, Objection, "line.objected", act):
        return earlier
    due_on(result_of(statement), code, ref)
    said = needed(words, "words", _("Nothing is written yet. Write what the customer says, in their words."))
    objection = Objection.objects.create(
        id=act.key, rental=rental, statement=statement, code=code, ref=ref, title=title[:200], words=said,
        at=act.at, by=act.by,
    )  # fmt: skip
    act.write(
        chain=rental.pk,
        kind="line.objected",
        subject=objection.pk,
        payload={
            "version": statement.version,
            "code": code,
            "ref": ref,
            "words": personal(objection.words, kind="customer.objection"),
        },
    )
    return objection


@transaction.atomic
def answer_objection(
    objection: Objection, *, outcome: str, words: str, act: Act, most: Decimal | None = None, until: date | None = None
) -> ObjectionOutcome:
    """Accepted, under protest, disputed or deferred; a deferred line is set aside up to its most until a day."""
    rental = objection.rental
    if earlier := begin(rental, ObjectionOutcome, "objection.answered", act):
        return earlier
    if outcome not in Outcome.values:
        raise CannotBe(_("Choose how it stands from the list."), "outcome")
    if outcome == Outcome.DEFERRED:
        _check_deferred(objection, words, most, until, act)
    row = ObjectionOutcome.objects.create(
        id=act.key, rental=rental, objection=objection, outcome=outcome, words=words.strip(), at=act.at, by=act.by,
        most=most if outcome == Outcome.DEFERRED else None, until=until if outcome == Outcome.DEFERRED else None,
    )  # fmt: skip
    act.write(
        chain=rental.pk,
        kind="objection.answered",
        subject=row.pk,
        payload={
            "objection": str(objection.pk),
            "outcome": outcome,
            "words": worded(row.words),
            "most": str(row.most) if row.most is not None else None,
            "until": row.until.isoformat() if row.until else None,
        },
    )
    return row


def _check_deferred(objection: Objection, words: str, most: Decimal | None, until: date | None, act: Act) -> None:
    needed(words, "words", _("Say what it waits for: a quote, a wash, the workshop, the police."))
    rental = objection.rental
    if until is None or until <= local(act.at, rental.branch.zone).date():
        raise CannotBe(_("Give the day until which it waits, after today."), "until")
    due = _most_now(objection)
    if most is None or not 0 < most <= due:
        raise CannotBe(
            _("The most it can be is above 0 and up to %(due)s.") % {"due": money_text(due, rental.currency)}, "most"
        )


def _most_now(objection: Objection) -> Decimal:
    """What is due on the line, or what was announced when it was set aside: put off again, it never grows."""
    last = objection.outcomes.last()
    if last is not None and last.most is not None:
        return last.most
    return due_on(result_of(latest_statement(objection.rental)), objection.code, objection.ref)
