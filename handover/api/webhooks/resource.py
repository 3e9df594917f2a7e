"""A program asks to be told what happens, and looks after it."""

from datetime import datetime
from functools import partial
from typing import Annotated, Any
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from ninja import Query, Router, Schema, Status
from pydantic import ConfigDict, Field

from handover.acting import Act
from handover.api.etags import check_if_match
from handover.api.keys import KEY_HEADER, once
from handover.api.paging import Page, Paged, paged
from handover.api.rendering import rendered
from handover.api.scopes import Scope
from handover.api.tokens import Caller, Scoped, TokenRequest
from handover.api.webhooks.actions import change_webhook, make_webhook, stop_webhook
from handover.api.webhooks.kinds import Event
from handover.api.webhooks.models import Webhook, WebhookDelivery
from handover.api.webhooks.signing import secret_for
from shared.ids import uuid7

router = Router(tags=["Webhooks"], auth=Scoped(Scope.WEBHOOKS_MANAGE))
Kinds = Annotated[list[Event], Field(min_length=1, max_length=len(Event))]
Url = Annotated[str, Field(min_length=9, max_length=500, pattern=r"^https?://[!-~]+$")]


class WebhookIn(Schema):
    model_config = ConfigDict(extra="forbid")

    url: Url = Field(description="Public, and https. No redirect is followed.")
    kinds: Kinds


class WebhookOut(Schema):
    id: str
    url: str
    kinds: list[Event]
    made_at: datetime
    href: str


class WebhookMade(WebhookOut):
    secret: str = Field(description="Shown this once: what is sent is signed with it, in Levelpeg-Signature.")


class DeliveryOut(Schema):
    id: str
    event: Event
    rental_id: str
    state: str
    tries: int
    due_at: datetime
    answer_code: int | None
    problem: str


@router.get("/webhooks", response=Page[WebhookOut], url_name="api-webhooks", operation_id="list_webhooks")
def webhooks(request: TokenRequest, response: HttpResponse, asked: Query[Paged]) -> Any:
    """The token's own webhooks."""
    return paged(request, response, _own(request.auth), asked, _shown)


@router.post("/webhooks", response={201: WebhookMade}, url_name="api-webhooks", operation_id="make_webhook")
def make(request: TokenRequest, response: HttpResponse, webhook: WebhookIn, idempotency_key: str = KEY_HEADER) -> Any:
    """Be told of kinds of events, of the token's branches, from now on.

    Each is a POST of ids and links with `Levelpeg-Signature: at=<seconds>,sha256=<hex>`: HMAC-SHA256 with the secret
    over `at`, a point and the body. Refuse an `at` more than five minutes away. Answer 2xx within 15 s; what is not
    taken is sent again for a day. The same event may come twice: its `id` says so.
    """
    body = webhook.model_dump(mode="json")
    answer, before = once(request.auth, key=idempotency_key, body=body, act=partial(_make, request.auth, webhook))
    response["Location"] = answer["href"]
    if before:
        response["Idempotent-Replayed"] = "true"
    return Status(201, {**answer, "secret": secret_for(UUID(answer["id"]))})


def _make(caller: Caller, sent: WebhookIn) -> dict[str, Any]:
    row, _secret = make_webhook(caller.token, url=sent.url, kinds=sent.kinds, act=_act(caller))
    return {**_shown(row).model_dump(mode="json"), "made_at": row.made_at.isoformat()}


@router.get("/webhooks/{uuid:webhook_id}", response=WebhookOut, url_name="api-webhook", operation_id="get_webhook")
def webhook(request: TokenRequest, webhook_id: UUID) -> Any:
    return _shown(get_object_or_404(_own(request.auth), pk=webhook_id))


@router.patch("/webhooks/{uuid:webhook_id}", response=WebhookOut, url_name="api-webhook",
              operation_id="change_webhook")  # fmt: skip
def change(request: TokenRequest, webhook_id: UUID, webhook: WebhookIn) -> Any:
    """Another address, other kinds. The secret stays."""
    with transaction.atomic():
        row = _matching(request, webhook_id)
        return _shown(change_webhook(row, url=webhook.url, kinds=webhook.kinds, act=_act(request.auth)))


@router.delete("/webhooks/{uuid:webhook_id}", response={204: None}, url_name="api-webhook",
               operation_id="stop_webhook")  # fmt: skip
def stop(request: TokenRequest, webhook_id: UUID) -> Any:
    """Be told no more, also of what is still on its way."""
    with transaction.atomic():
        stop_webhook(_matching(request, webhook_id), act=_act(request.auth))
    return Status(204, None)


@router.get("/webhooks/{uuid:webhook_id}/deliveries", response=Page[DeliveryOut], url_name="api-webhook-deliveries",
            operation_id="list_deliveries")  # fmt: skip
def deliveries(request: TokenRequest, response: HttpResponse, webhook_id: UUID, asked: Query[Paged]) -> Any:
    """What was told, what waits and what was given up."""
    row = get_object_or_404(_own(request.auth), pk=webhook_id)
    return paged(request, response, WebhookDelivery.objects.filter(webhook=row), asked, _delivery)


def _own(caller: Caller) -> QuerySet[Webhook]:
    return Webhook.objects.filter(token=caller.token, stopped_at=None).select_related("token")


def _matching(request: TokenRequest, webhook_id: UUID) -> Webhook:
    row = get_object_or_404(_own(request.auth).select_for_update(of=("self",)), pk=webhook_id)
    check_if_match(request, lambda: rendered(_shown(row)))
    return row


def _act(caller: Caller) -> Act:
    return Act(by=caller.person, at=timezone.now(), key=uuid7(), device="api")


def _shown(row: Webhook) -> WebhookOut:
    kinds = [Event(kind) for kind in row.kinds]
    return WebhookOut(
        id=str(row.pk), url=row.url, kinds=kinds, made_at=row.made_at, href=reverse("api-webhook", args=[row.pk])
    )


def _delivery(row: WebhookDelivery) -> DeliveryOut:
    return DeliveryOut(
        id=str(row.pk), event=Event(row.event), rental_id=str(row.rental_id), state=row.state, tries=row.tries,
        due_at=row.due_at, answer_code=row.answer_code, problem=row.problem,
    )  # fmt: skip
