"""The letter about a decision: ordered with it, made and sent right after it, sent again when it did not go."""

from functools import partial
from uuid import UUID

from django.core.mail import EmailMessage
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks import task

from fleet.languages import briefed_in
from handover.acting import Act, CannotBe
from handover.dispute.evidence.photographs import pair_of
from handover.dispute.letter.paper import letter_pdf
from handover.dispute.letter.phrases import PHRASES
from handover.dispute.letter.writing import Body, bodies, facts_of
from handover.dispute.models import Decision, Delivery, Letter
from handover.made import mark_failed
from handover.mailed import not_taken
from handover.record.render import NotRendered
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.files.away import SENTENCE, StoreAway
from shared.files.store import Altered, keep, read
from shared.ids import uuid7
from shared.ledger.models import Entry
from shared.ledger.personal import personal
from shared.ledger.writing import append

Outcome = Delivery.Outcome
IN_FULL = ("decision__dispute__rental__branch", "decision__dispute__rental__customer", "decision__dispute__statement",
           "decision__statement", "decision__by")  # fmt: skip


def order_letter(decision: Decision) -> Letter:
    """In the transaction that decides; made and sent as a task once it holds."""
    language = briefed_in(decision.dispute.rental.customer.language).code
    letter = Letter.objects.create(
        decision=decision, language=language, draft=not PHRASES[language].approved, ordered_at=decision.at
    )
    transaction.on_commit(partial(make_letter.enqueue, str(letter.pk)))
    return letter


@task()
def make_letter(letter_id: str) -> None:
    """Made once and kept under its digest, then sent. What cannot be drawn is said on the dispute's page."""
    letter = Letter.objects.select_related(*IN_FULL).get(pk=UUID(letter_id))
    if letter.is_ready:
        return
    try:
        _keep(letter, letter_pdf(facts_of(letter.decision, pair_of(letter.decision.dispute))))
    except (NotRendered, Altered) as problem:
        _fail(letter, str(problem))
    except FileNotFoundError:
        _fail(letter, "A photo of it is gone from the store. Put it back from a backup, then make the letter again.")
    except StoreAway:
        _fail(letter, SENTENCE)
    else:
        send(letter)


@transaction.atomic
def _fail(letter: Letter, sentence: str) -> None:
    if failed := mark_failed(letter, sentence):
        _tell(letter, "dispute.letter_failed", {"problem": failed.problem})


@transaction.atomic
def _keep(letter: Letter, pdf: bytes) -> None:
    """The file first, then its row and its place in the ledger. Made twice at once, the first one counts."""
    if Letter.objects.select_for_update().get(pk=letter.pk).is_ready:
        letter.refresh_from_db()
        return
    file = keep(pdf, suffix=".pdf")
    letter.state, letter.problem = Letter.State.READY, ""
    letter.file, letter.size, letter.sha256 = file.name, file.size, file.sha256
    letter.save()
    _tell(letter, "dispute.letter_made", {"pdf_sha256": letter.sha256, "language": letter.language})


def send(letter: Letter) -> Delivery:
    """One try by e-mail. That there is no address, and why the mail server refused, is kept like that it went."""
    address = letter.decision.dispute.rental.customer.email
    outcome, problem = (Outcome.NO_ADDRESS, "") if not address else _sent(letter, address)
    with transaction.atomic():
        delivery = Delivery.objects.create(
            letter=letter, outcome=outcome, address=address, problem=problem, at=timezone.now()
        )
        told = dict(personal(address, kind="customer.email")) if address else None
        _tell(letter, "dispute.letter_sent", {"outcome": outcome, "address": told}, subject=delivery.pk)
    return delivery


def _sent(letter: Letter, address: str) -> tuple[Delivery.Outcome, str]:
    facts = facts_of(letter.decision)
    parts = bodies(facts)
    message = EmailMessage(parts[0].subject, "\n\n".join(_plain(letter, part) for part in parts), to=[address])
    name = f"{facts.rental.number}-dispute-{facts.decision.dispute.number}.pdf"
    try:
        message.attach(name, read(letter.file), "application/pdf")
        message.send()
    except StoreAway:
        return Outcome.FAILED, SENTENCE
    except (Altered, FileNotFoundError):
        return Outcome.FAILED, "The file of the letter is not there as it was kept. Put it back from a backup."
    except Exception as problem:  # a mail server refuses in many ways, and none of them undoes the decision
        return Outcome.FAILED, not_taken(problem, address)
    return Outcome.SENT, ""


def _plain(letter: Letter, body: Body) -> str:
    """As the letter itself, without what only paper has room for."""
    reason = f"{body.reason}\n{letter.decision.words}"
    said = (body.draft, body.dear, body.contested, body.decided, reason, body.outcome, body.record, body.otherwise)
    return "\n\n".join(part for part in (*said, body.regards) if part)


def send_again(letter: Letter, *, act: Act) -> Delivery:
    """By hand, after what stopped it was put right: an address that was missing, a mail server that was away."""
    rental = letter.decision.dispute.rental
    require(act.by, Right.SETTLE, rental.branch_id)
    with transaction.atomic():
        if entry := act.entry_before(chain=rental.pk, kind="dispute.letter_asked_for"):
            return letter.deliveries.filter(at__gte=entry.recorded_at).first() or letter.deliveries.latest("at")
        if not letter.is_ready:
            raise CannotBe(_("The letter is not made yet: there is nothing to send."))
        act.write(chain=rental.pk, kind="dispute.letter_asked_for", subject=letter.pk, payload={})
    return send(letter)


def _tell(letter: Letter, kind: str, payload: dict[str, Json], *, subject: UUID | None = None) -> Entry:
    """By the program itself, in the rental's chain."""
    dispute = letter.decision.dispute
    return append(
        chain=dispute.rental_id, kind=kind, payload={"dispute": dispute.number, **payload}, by=None, key=uuid7(),
        happened_at=timezone.now(), subject=subject or letter.pk,
    )  # fmt: skip
