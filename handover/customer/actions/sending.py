"""A link goes out by e-mail; that it went, or why not, is kept beside it."""

from functools import partial
from smtplib import SMTPException
from uuid import UUID

from django.core.exceptions import ValidationError
from django.core.mail import EmailMessage
from django.core.validators import validate_email
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import override
from django_tasks import task

from handover.acting import Act, CannotBe
from handover.cabcard.tongues import tongues_for
from handover.customer.models import CustomerLink, LinkDelivery
from handover.customer.opening import address_of, language_of
from handover.mailed import not_taken
from shared.access.roles import Right
from shared.access.scope import require
from shared.clock import local
from shared.dates import dated
from shared.ids import uuid7
from shared.ledger.personal import personal, recall
from shared.ledger.writing import append

ORDERED, SENT, NOT_SENT = "customer.link_mailed", "customer.link_sent", "customer.link_not_sent"
LONGEST = 254


@transaction.atomic
def send_link(link: CustomerLink, *, to: str, act: Act) -> LinkDelivery:
    """Keeps that it is on its way; it goes once this holds. Raises CannotBe at `to`."""
    rental = link.rental
    require(act.by, Right.SETTLE, rental.branch_id)
    if earlier := act.replayed(LinkDelivery, chain=rental.pk, kind=ORDERED):
        return earlier
    link.refresh_from_db(fields=["revoked_at"])
    if link.revoked_at is not None or link.expires_at <= act.at:
        raise CannotBe(_("This link opens nothing any more. Make a new one and send that."), "to")
    kept = personal(_checked(to), kind="customer.email")
    delivery = LinkDelivery.objects.create(
        id=act.key, link=link, address_digest=kept["digest"], at=act.at, by=act.by
    )  # fmt: skip
    act.write(
        chain=rental.pk, kind=ORDERED, subject=delivery.pk, payload={"link_sha256": link.digest, "to": dict(kept)}
    )
    transaction.on_commit(partial(deliver.enqueue, str(delivery.pk)))
    return delivery


def _checked(to: str) -> str:
    address = to.strip()
    if not address:
        raise CannotBe(_("No e-mail address is known. Write it here."), "to")
    try:
        if len(address) > LONGEST:
            raise ValidationError("")
        validate_email(address)
    except ValidationError as problem:
        raise CannotBe(_("This is no e-mail address: one looks like name@example.org."), "to") from problem
    return address


@task()
def deliver(delivery_id: str) -> None:
    """Sends what waits, once. What the mail server answers is kept as the reason."""
    rows = LinkDelivery.objects.select_related("link__rental__branch", "link__rental__customer", "by")
    delivery = rows.get(pk=UUID(delivery_id))
    if delivery.state != LinkDelivery.State.WAITING:
        return
    address = recall(delivery.address_digest)
    if address is None:
        _end(delivery, "The address was erased before the e-mail went.")
        return
    try:
        letter_of(delivery.link, address).send()
    except (OSError, SMTPException, ValueError) as fault:
        _end(delivery, not_taken(fault, address))
    else:
        _end(delivery, "")


def letter_of(link: CustomerLink, to: str) -> EmailMessage:
    """In the customer's language, as plain text: nothing in it is fetched from anywhere."""
    rental, tongues = link.rental, tongues_for(language_of(link.rental))
    with override(tongues.code):
        said = {
            "operator": rental.branch.operator, "branch": rental.branch.name, "number": rental.number,
            "address": address_of(link), "day": dated(local(link.expires_at, rental.branch.zone)),
        }  # fmt: skip
        subject = _("Your rental %(number)s with %(operator)s") % said
        body = _provisional(link) + (
            _(
                "Record, Statement and Cab card of your rental %(number)s are on this page, and you can tell us there "
                "what does not seem right:\n\n%(address)s\n\nWhoever has this address sees them, until %(day)s.\n\n"
                "%(operator)s, %(branch)s\n"
            )
            % said
        )
    return EmailMessage(" ".join(subject.split()), body, to=[to])


def _provisional(link: CustomerLink) -> str:
    """Before the letter to who was not at the return; empty for everybody else."""
    statement = link.rental.statements.last()
    if statement is None or statement.objection_until is None:
        return ""
    words = _(
        "The vehicle was looked at without you, and nobody signed for you. The Statement is provisional: until "
        "%(until)s you can object to any line of it."
    )
    return words % {"until": dated(statement.objection_until)} + "\n\n"


@transaction.atomic
def _end(delivery: LinkDelivery, problem: str) -> None:
    """Unless another run ended it meanwhile."""
    row = LinkDelivery.objects.select_for_update().get(pk=delivery.pk)
    if row.state != LinkDelivery.State.WAITING:
        return
    row.state = LinkDelivery.State.FAILED if problem else LinkDelivery.State.SENT
    row.problem, row.ended_at = problem, timezone.now()
    row.save(update_fields=["state", "problem", "ended_at"])
    append(
        chain=delivery.link.rental_id, kind=NOT_SENT if problem else SENT, payload={"problem": problem}, by=None,
        key=uuid7(), happened_at=row.ended_at, subject=row.pk,
    )  # fmt: skip
