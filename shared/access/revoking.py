"""A tablet is lost: nobody is signed in on it any more, no PIN opens it, and what it sends is proven no more."""

from datetime import datetime

from django.db import transaction

from shared.access.models import Device, Person
from shared.access.sessions import end_on_device
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
        chain=kept.pk, kind="device.revoked", payload={"sessions": end_on_device(kept.pk)}, by=by, key=uuid7(),
        happened_at=at, subject=kept.pk,
    )  # fmt: skip
    return kept
