"""Tokens and webhooks for tests, and a program that shows a token."""

import json
from datetime import timedelta
from typing import Any

from django.test import Client
from django.utils import timezone

from fleet.models import Branch
from handover.api.actions import Wanted, make_token
from handover.api.models import ApiToken
from handover.api.scopes import Scope
from handover.api.webhooks.actions import make_webhook
from handover.api.webhooks.models import Webhook, WebhookDelivery
from handover.rental.models import Rental
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import NINE, PersonFactory, an_act

EVERY = [scope.value for scope in Scope]
HOOK = "https://hooks.example.org/levelpeg"


def an_administrator(branch: Branch) -> Person:
    return PersonFactory(username=f"admin-{branch.code}", role="administrator", branches=[branch])


def a_token(branch: Branch, *scopes: str, days: int = 30) -> tuple[ApiToken, str]:
    """Made by an administrator of the branch, now."""
    wanted = Wanted("Booking desk", scopes or EVERY, [branch], days)
    return make_token(wanted, act=an_act(an_administrator(branch), at=timezone.now()))


def a_webhook(token: ApiToken, *kinds: str, url: str = HOOK) -> tuple[Webhook, str]:
    by = token.made_by
    return make_webhook(token, url=url, kinds=kinds or ["rental.booked"], act=an_act(by, at=timezone.now()))


def a_delivery(webhook: Webhook, rental: Rental, **said: Any) -> WebhookDelivery:
    now = timezone.now() - timedelta(minutes=1)
    told = {"entry": uuid7(), "event": "rental.booked", "happened_at": NINE, "first_at": now, "due_at": now}
    return WebhookDelivery.objects.create(webhook=webhook, rental=rental, **told | said)


class Program:
    """A client that shows a token and speaks JSON."""

    def __init__(self, secret: str = "") -> None:
        self.client = Client(raise_request_exception=False)
        self.headers = {"Authorization": f"Bearer {secret}"} if secret else {}

    def get(self, path: str, **headers: str) -> Any:
        return self.client.get(f"/api/v1{path}", headers=self.headers | _named(headers))

    def send(self, method: str, path: str, body: Any = None, *, kind: str = "application/json", **headers: str) -> Any:
        data = body if isinstance(body, bytes) else json.dumps(body).encode()
        all_headers = self.headers | _named(headers)
        return self.client.generic(method, f"/api/v1{path}", data, content_type=kind, headers=all_headers)

    def post(self, path: str, body: Any, key: str = "key-1", **headers: str) -> Any:
        return self.send("POST", path, body, idempotency_key=key, **headers)


def _named(headers: dict[str, str]) -> dict[str, str]:
    return {name.replace("_", "-"): value for name, value in headers.items()}
