"""What is sent of an event: ids and links, nothing of a person. The same bytes at every try."""

from typing import Any

from django.conf import settings
from django.urls import reverse

from handover.api.webhooks.models import WebhookDelivery
from shared.canonical import canonical
from shared.ledger.chain import instant
from shared.ledger.models import Entry

LINKS = {"statement": "api-statement", "record": "api-record"}


def body_of(delivery: WebhookDelivery) -> bytes:
    """{"id", "event", "at", "branch", "rental": {"id", "number", "href"}, "statement" or "record": {"id", "href"}}."""
    rental = delivery.rental
    told: dict[str, Any] = {
        "id": str(delivery.entry),
        "event": delivery.event,
        "at": instant(delivery.happened_at),
        "branch": rental.branch.code,
        "rental": _linked("api-rental", str(rental.pk)) | {"number": rental.number},
    }
    about = delivery.event.partition(".")[0]
    subject = Entry.objects.filter(pk=delivery.entry).values_list("subject", flat=True).first()
    if about in LINKS and subject:
        told[about] = _linked(LINKS[about], str(subject))
    return canonical(told)


def _linked(name: str, pk: str) -> dict[str, str]:
    return {"id": pk, "href": settings.PUBLIC_URL + reverse(name, args=[pk])}
