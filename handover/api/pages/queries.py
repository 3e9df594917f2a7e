"""What the pages about the API show, each in a fixed number of queries."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from fleet.models import Branch
from handover.api.models import ApiToken
from handover.api.webhooks.models import Webhook, WebhookDelivery

SHOWN = 100


@dataclass(frozen=True, slots=True)
class TokenRow:
    token: ApiToken
    branches: Sequence[str]
    last_seen: datetime | None
    valid: bool


def tokens_of(branch: Branch) -> QuerySet[ApiToken]:
    return ApiToken.objects.filter(service__postings__branch=branch)


def token_rows(branch: Branch, *, now: datetime) -> list[TokenRow]:
    rows = tokens_of(branch).select_related("made_by", "revoked_by", "use", "service")
    return [_row(token, now) for token in rows.prefetch_related("service__postings__branch")]


def _row(token: ApiToken, now: datetime) -> TokenRow:
    use = getattr(token, "use", None)
    return TokenRow(
        token=token,
        branches=[posting.branch.name for posting in token.service.postings.all()],
        last_seen=use.minute if use else None,
        valid=token.revoked_at is None and token.expires_at > now,
    )


def webhooks_of(branch: Branch) -> QuerySet[Webhook]:
    return Webhook.objects.filter(token__in=tokens_of(branch)).select_related("token")


def deliveries_of(branch: Branch) -> QuerySet[WebhookDelivery]:
    """Of the branch's own rentals: a token may be for others too."""
    rows = WebhookDelivery.objects.filter(rental__branch=branch)
    return rows.select_related("webhook__token", "rental")
