"""A webhook is made, changed, stopped; what was not taken is sent again."""

from collections.abc import Sequence
from functools import partial

from django.conf import settings
from django.db import transaction
from django.http import Http404
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.api.actions import check_own
from handover.api.models import ApiToken, ServicePerson
from handover.api.scopes import Scope
from handover.api.webhooks.delivering import deliver
from handover.api.webhooks.guard import NotThere, parsed
from handover.api.webhooks.kinds import Event
from handover.api.webhooks.models import Webhook, WebhookDelivery, WebhookMark
from handover.api.webhooks.signing import secret_for
from shared.canonical import sha256_hex
from shared.ledger.personal import worded

MADE, CHANGED, STOPPED, AGAIN = "webhook.made", "webhook.changed", "webhook.stopped", "webhook.sent_again"
MOST = 20
State = WebhookDelivery.State


@transaction.atomic
def make_webhook(token: ApiToken, *, url: str, kinds: Sequence[str], act: Act) -> tuple[Webhook, str]:
    """The webhook and its secret, which is shown this once. Raises CannotBe, NotAllowed, Http404."""
    _may(token, act)
    if earlier := act.replayed(Webhook, chain=token.pk, kind=MADE):
        return earlier, secret_for(earlier.pk)
    if Webhook.objects.filter(token=token, stopped_at=None).count() >= MOST:
        raise CannotBe(_("A token has at most %(most)s webhooks. Stop one first.") % {"most": MOST}, "url")
    _check(url, kinds)
    secret = secret_for(act.key)
    row = Webhook.objects.create(
        id=act.key, token=token, url=url, kinds=sorted(set(kinds)), secret_sha256=sha256_hex(secret.encode()),
        made_at=act.at, made_by=act.by,
    )  # fmt: skip
    WebhookMark.objects.create(webhook=row, looked_until=act.at)
    act.write(chain=token.pk, kind=MADE, subject=row.pk, payload={"url": worded(url), "kinds": row.kinds})
    return row, secret


@transaction.atomic
def change_webhook(webhook: Webhook, *, url: str, kinds: Sequence[str], act: Act) -> Webhook:
    """Another address, other kinds; the secret stays. Raises CannotBe, NotAllowed, Http404."""
    _may(webhook.token, act)
    if act.replayed(Webhook, chain=webhook.token_id, kind=CHANGED):
        return webhook
    _check(url, kinds)
    kept = _standing(webhook)
    kept.url, kept.kinds = url, sorted(set(kinds))
    kept.save(update_fields=["url", "kinds"])
    act.write(chain=kept.token_id, kind=CHANGED, subject=kept.pk, payload={"url": worded(url), "kinds": kept.kinds})
    return kept


@transaction.atomic
def stop_webhook(webhook: Webhook, *, act: Act) -> Webhook:
    """For good. What is still on its way is not sent. Raises NotAllowed, Http404."""
    _may(webhook.token, act)
    if act.replayed(Webhook, chain=webhook.token_id, kind=STOPPED):
        return webhook
    kept = _standing(webhook)
    kept.stopped_at, kept.stopped_by = act.at, act.by
    kept.save(update_fields=["stopped_at", "stopped_by"])
    act.write(chain=kept.token_id, kind=STOPPED, subject=kept.pk, payload={})
    return kept


@transaction.atomic
def send_again(deliveries: Sequence[WebhookDelivery], *, act: Act) -> int:
    """What was given up or waits goes at once, with a new day for tries; how many. All are of one token."""
    if not deliveries:
        return 0
    token = deliveries[0].webhook.token
    _may(token, act)
    if act.entry_before(chain=token.pk, kind=AGAIN):
        return len(deliveries)
    ids = [row.pk for row in deliveries]
    rows = WebhookDelivery.objects.filter(pk__in=ids).exclude(state=State.TAKEN)
    rows.update(state=State.WAITING, tries=0, first_at=act.at, due_at=act.at, ended_at=None, queued_until=None)
    act.write(chain=token.pk, kind=AGAIN, subject=token.pk, payload={"deliveries": [str(pk) for pk in ids]})
    for pk in ids:
        transaction.on_commit(partial(deliver.enqueue, str(pk)))
    return len(ids)


def _may(token: ApiToken, act: Act) -> None:
    """A program its own, an administrator those at their branches."""
    if not isinstance(act.by, ServicePerson):
        check_own(token, act)
    elif token.service_id != act.by.pk or Scope.WEBHOOKS_MANAGE not in act.by.scopes:
        raise Http404


def _standing(webhook: Webhook) -> Webhook:
    kept = Webhook.objects.select_for_update(of=("self",)).select_related("token").get(pk=webhook.pk)
    if kept.stopped_at is not None:
        raise Http404
    return kept


def _check(url: str, kinds: Sequence[str]) -> None:
    try:
        parsed(url, loopback=settings.WEBHOOKS_TO_LOOPBACK)
    except NotThere as problem:
        raise CannotBe(str(problem), "url") from problem
    if not kinds or set(kinds) - set(Event):
        raise CannotBe(_("Choose at least one kind of event."), "kinds")
