"""From the ledger to who is told: what is new is found, what is due is sent, what is not taken waits and goes again.

The entry of the ledger is the event: it was written in the transaction of what it tells of. It is found by looking
through what was recorded since the last look, and a quarter of an hour before it: so long a transaction may have been
under way. Nothing is told twice of one entry, unless what was answered got lost.
"""

import random
from datetime import datetime, timedelta
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Exists, F, OuterRef, Q
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks import task

from handover.api.webhooks.event import body_of
from handover.api.webhooks.kinds import ENTRIES
from handover.api.webhooks.models import Webhook, WebhookDelivery, WebhookMark
from handover.api.webhooks.retrying import is_over, pause
from handover.api.webhooks.sending import Answered, post
from handover.api.webhooks.signing import HEADER, secret_kept, signature
from handover.rental.models import Rental
from shared.access.scope import scoped
from shared.ledger.days import SETTLING
from shared.ledger.models import Entry
from shared.phrasebook import in_house_language

LEASE = timedelta(minutes=2)
QUEUED = timedelta(minutes=10)
MOST_AT_ONCE = 500
State = WebhookDelivery.State


def pass_on(*, now: datetime) -> tuple[int, int]:
    """How many events were found, and how many handed to be sent."""
    found = sum(_find(webhook, now) for webhook in active(now))
    return found, _hand_out(now)


def active(now: datetime) -> list[Webhook]:
    rows = Webhook.objects.filter(stopped_at=None, token__revoked_at=None, token__expires_at__gt=now)
    return list(rows.select_related("token__service", "mark"))


def _find(webhook: Webhook, now: datetime) -> int:
    since = max(webhook.made_at, webhook.mark.looked_until - SETTLING)
    kinds = [kind for kind, event in ENTRIES.items() if event in webhook.kinds]
    told = WebhookDelivery.objects.filter(webhook=webhook, entry=OuterRef("pk"))
    own = scoped(Rental.objects.all(), webhook.token.service).filter(pk=OuterRef("chain"))
    entries = Entry.objects.filter(Exists(own), ~Exists(told), recorded_at__gt=since, kind__in=kinds)
    rows = [_delivery(webhook, entry, now) for entry in entries.order_by("recorded_at", "id")]
    try:
        with transaction.atomic():
            WebhookDelivery.objects.bulk_create(rows)
            WebhookMark.objects.filter(pk=webhook.pk, looked_until__lt=now).update(looked_until=now)
    except IntegrityError:
        return 0  # another look at the same time found them
    return len(rows)


def _delivery(webhook: Webhook, entry: Entry, now: datetime) -> WebhookDelivery:
    return WebhookDelivery(
        webhook=webhook, entry=entry.pk, event=ENTRIES[entry.kind], rental_id=entry.chain,
        happened_at=entry.happened_at, first_at=now, due_at=now,
    )  # fmt: skip


def _hand_out(now: datetime) -> int:
    free = Q(queued_until=None) | Q(queued_until__lt=now)
    due = WebhookDelivery.objects.filter(free, state=State.WAITING, due_at__lte=now).order_by("due_at", "id")
    handed = list(due.values_list("pk", flat=True)[:MOST_AT_ONCE])
    WebhookDelivery.objects.filter(pk__in=handed).update(queued_until=now + QUEUED)
    for pk in handed:
        deliver.enqueue(str(pk))
    return len(handed)


@task()
@in_house_language
def deliver(delivery_id: str) -> None:
    """One try of one delivery; another worker that has it at the same time does nothing."""
    now = timezone.now()
    mine = WebhookDelivery.objects.filter(pk=UUID(delivery_id), state=State.WAITING, due_at__lte=now)
    if not mine.update(due_at=now + LEASE, tries=F("tries") + 1, queued_until=None):
        return
    delivery = WebhookDelivery.objects.select_related("webhook__token", "rental__branch").get(pk=UUID(delivery_id))
    if why := _why_not(delivery.webhook, now):
        delivery.end(State.DEAD, problem=why, ended_at=now, answer_code=None)
        return
    _keep(delivery, _sent(delivery, now), timezone.now())


def _why_not(webhook: Webhook, now: datetime) -> str:
    if webhook.stopped_at is not None:
        return _("The webhook was stopped.")
    if webhook.token.revoked_at is not None or webhook.token.expires_at <= now:
        return _("Its token is revoked or has expired.")
    if secret_kept(webhook.pk, webhook.secret_sha256) is None:
        return _("The server's key was changed and the old one is not kept: make the webhook anew.")
    return ""


def _sent(delivery: WebhookDelivery, now: datetime) -> Answered:
    webhook, body = delivery.webhook, body_of(delivery)
    secret = secret_kept(webhook.pk, webhook.secret_sha256) or ""
    headers = {
        "Content-Type": "application/json",
        "User-Agent": "Levelpeg",
        "Levelpeg-Event": delivery.event,
        "Levelpeg-Delivery": str(delivery.pk),
        HEADER: signature(secret, body, at=now),
    }
    return post(webhook.url, body, headers)


def _keep(delivery: WebhookDelivery, answered: Answered, now: datetime) -> None:
    if not answered.problem:
        delivery.end(State.TAKEN, answer_code=answered.code, problem="", ended_at=now)
        return
    due_at = now + pause(delivery.tries, random.random())  # noqa: S311 spreads load, guards nothing
    over = is_over(due_at - delivery.first_at)
    delivery.end(
        State.DEAD if over else State.WAITING, answer_code=answered.code, problem=answered.problem[:200],
        due_at=due_at, ended_at=now if over else None,
    )  # fmt: skip
