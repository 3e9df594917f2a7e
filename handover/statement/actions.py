"""A statement is drawn up from what was read and promised, signed or left unsigned, and settled."""

import json
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any
from uuid import uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.charges import RULES_VERSION, DocumentError, parse, price
from handover.counter.models import Reopening
from handover.damage.moved import undecided
from handover.record.actions import issue_record
from handover.rental.models import Leg, Rental
from handover.statement.inputs import pricing_document
from handover.statement.models import Signature, Statement
from handover.statement.signing import Signed, keep_signature
from handover.statement.unattended import Absence, absence_of, objection_until
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import canonical_text, sha256_hex
from shared.clock import local
from shared.phrasebook import inside, said


@transaction.atomic
def draw_up(rental: Rental, *, act: Act) -> Statement:
    """Price the rental as it came back: the next version of its statement. Raises CannotBe.

    What has not changed since the last version is not drawn up again: the same statement is given back.
    """
    require(act.by, Right.SETTLE, rental.branch_id)
    if earlier := act.replayed(Statement, chain=rental.pk, kind="statement.drawn_up"):
        return earlier
    rental.refresh_from_db(fields=["state"])
    if rental.state != Rental.State.BACK:
        raise CannotBe(
            _("%(rental)s is %(state)s: finish the return first.")
            % {"rental": rental.number, "state": inside(rental.get_state_display())}
        )
    inputs, result, total = priced(rental)
    last = rental.statements.last()
    if last and last.inputs == inputs:
        return last
    statement = Statement.objects.create(
        id=act.key,
        rental=rental,
        version=last.version + 1 if last else 1,
        inputs=inputs,
        result=result,
        rules_version=RULES_VERSION,
        digest=sha256_hex(result.encode()),
        total=total,
        currency=rental.currency,
        drawn_up_at=act.at,
        drawn_up_by=act.by,
    )
    act.write(
        chain=rental.pk,
        kind="statement.drawn_up",
        subject=statement.pk,
        payload={
            "version": statement.version,
            "inputs_sha256": sha256_hex(inputs.encode()),
            "result_sha256": statement.digest,
            "rules_version": RULES_VERSION,
            "total": str(total),
            "currency": statement.currency,
        },
    )
    return statement


def priced(rental: Rental) -> tuple[str, str, Decimal]:
    """The canonical inputs, the canonical result, and the total."""
    inputs = canonical_text(pricing_document(rental))
    try:
        result = price(parse(json.loads(inputs)))
    except DocumentError as error:
        problems = " ".join(f"{problem.path}: {said(problem.sentence)}" for problem in error.problems)
        raise CannotBe(_("This cannot be priced yet. %(problems)s") % {"problems": problems}) from error
    return inputs, result.as_bytes().decode(), result.totals.total


@transaction.atomic
def sign_statement(
    statement: Statement, *, role: str, name: str, strokes: Sequence[Any], seen_sha256: str, act: Act
) -> Signature:  # fmt: skip
    """Signing says: I have seen this. Raises CannotBe when the statement was priced again since it was shown."""
    if earlier := _begin(statement, act, "statement.signed"):
        return earlier
    if seen_sha256 != statement.digest:
        raise CannotBe(
            _("The statement was priced again since this page was shown. Look through it, then sign."), "strokes"
        )
    return keep_signature(
        statement, signed=Signed(role, name, strokes), content_sha256=statement.digest,
        kind="statement.signed", act=act,
    )  # fmt: skip


@transaction.atomic
def leave_unsigned(statement: Statement, *, outcome: str, reason: str, name: str, act: Act) -> Signature:
    """The customer refuses to sign, or is not there. The statement stands; the reason stands beside it."""
    if earlier := _begin(statement, act, "statement.unsigned"):
        return earlier
    return keep_signature(
        statement, signed=Signed("customer", name, outcome=outcome, reason=reason),
        content_sha256=statement.digest, kind="statement.unsigned", act=act,
    )  # fmt: skip


def _begin(statement: Statement, act: Act, kind: str) -> Signature | None:
    require(act.by, Right.SETTLE, statement.rental.branch_id)
    if earlier := act.replayed(Signature, chain=statement.rental_id, kind=kind):
        return earlier
    statement.rental.refresh_from_db(fields=["state"])
    _check_latest(statement)
    if statement.rental.state != Rental.State.BACK:
        raise CannotBe(_("%(statement)s is settled. A later finding makes a new version.") % {"statement": statement})
    return None


def last_leg(rental: Rental) -> Leg:
    """A rental is made with its first leg."""
    return rental.legs.select_related("rental").latest("number")


def _check_latest(statement: Statement) -> None:
    if Statement.objects.filter(rental=statement.rental, version__gt=statement.version).exists():
        raise CannotBe(_("%(statement)s was replaced by a later version. Open the latest.") % {"statement": statement})
    if Reopening.objects.filter(statement=statement).exists():
        raise CannotBe(
            _("%(statement)s was settled and opened again. Price it again: the next states the difference.")
            % {"statement": statement}
        )


@transaction.atomic
def settle(statement: Statement, *, act: Act) -> Statement:
    """Close the return: both sides have signed or stand as unsigned; the record is made."""
    rental = statement.rental
    require(act.by, Right.SETTLE, rental.branch_id)
    if earlier := act.replayed(Statement, chain=rental.pk, kind="statement.settled"):
        return earlier
    rental.refresh_from_db(fields=["state"])
    _check_latest(statement)
    if rental.state != Rental.State.BACK:
        raise CannotBe(
            _("%(rental)s is %(state)s: there is nothing to settle.")
            % {"rental": rental.number, "state": inside(rental.get_state_display())}
        )
    _check_decided(statement)
    roles = set(statement.signatures.filter(content_sha256=statement.digest).values_list("role", flat=True))
    if "staff" in roles and "customer" not in roles and (absence := absence_of(rental)):
        _leave_open(statement, absence, act)
        roles.add("customer")
    if missing := [role for role in ("customer", "staff") if role not in roles]:
        raise CannotBe(
            _("Still to sign: %(missing)s. Refused or absent needs its reason.")
            % {"missing": _(" and ").join(_(role) for role in missing)}
        )
    rental.state = Rental.State.SETTLED
    rental.save(update_fields=["state"])
    issue_record(last_leg(rental), kind="return", statement=statement, act=act)
    act.write(
        chain=rental.pk,
        kind="statement.settled",
        subject=statement.pk,
        payload={"version": statement.version, "total": str(statement.total), "currency": statement.currency},
    )
    return statement


def _check_decided(statement: Statement) -> None:
    """Damage on a unit that was moved before its first photo waits for a manager, whoever signs."""
    if waiting := undecided(json.loads(statement.inputs), json.loads(statement.result)):
        raise CannotBe(
            _("%(ref)s: no photo before it was moved. A manager decides on the damage page whether it is charged.")
            % {"ref": said(waiting[0])}
        )


def _leave_open(statement: Statement, absence: Absence, act: Act) -> None:
    """The reason in place of the customer's signature, and the days in which they can object."""
    rental = statement.rental
    keep_signature(
        statement,
        signed=Signed("customer", rental.customer.name, outcome=Signature.Outcome.ABSENT, reason=absence.reason),
        content_sha256=statement.digest,
        kind="statement.unsigned",
        act=replace(act, key=uuid5(act.key, "absent")),
    )
    today = local(act.at, rental.branch.zone).date()
    statement.objection_until = objection_until(rental, today=today)
    statement.save(update_fields=["objection_until"])
    replace(act, key=uuid5(act.key, "open to objection")).write(
        chain=rental.pk,
        kind="statement.open_to_objection",
        subject=statement.pk,
        payload={"version": statement.version, "until": statement.objection_until.isoformat()},
    )
