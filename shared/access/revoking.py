"""A tablet is lost: nobody is signed in on it any more, no PIN opens it, and what it sends is proven no more."""

from datetime import datetime
from typing import Any

from django.contrib.sessions.models import Session
from django.db import transaction
from django.utils import timezone

from shared.access.here import DEVICE
from shared.access.models import Device, Person
from shared.ids import uuid7
from shared.ledger.writing import append


@transaction.atomic
def revoke(device: Device, *, by: Person, at: datetime) -> Device:
    """Once; its sessions end. What it still holds is kept when it comes, and waits for a person."""
    kept = Device.objects.select_for_update().get(pk=device.pk)
    if kept.revoked_at:
        return kept
    kept.revoked_at, kept.revoked_by = at, by
    kept.save(update_fields=["revoked_at", "revoked_by"])
    append(
        chain=kept.pk, kind="device.revoked", payload={"sessions": _end_sessions(kept)}, by=by, key=uuid7(),
        happened_at=at, subject=kept.pk,
    )  # fmt: skip
    return kept


def _end_sessions(device: Device) -> int:
    """How many there were. A session names its device only inside, so each is opened; a yard has a few dozen."""
    rows: Any = Session.objects.filter(expire_date__gt=timezone.now())
    own = [row.pk for row in rows.iterator() if row.get_decoded().get(DEVICE) == str(device.pk)]
    Session.objects.filter(pk__in=own).delete()
    return len(own)
