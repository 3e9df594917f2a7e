"""Devices and the proof of who held one: a token that the server signed when the person signed in on it."""

from uuid import UUID

from django.core import signing

from handover.acting import CannotBe
from shared.access.models import Device, Person

SALT = "tablet.author"
SESSION_KEY = "device"


def device_of(device_id: UUID, person: Person) -> Device:
    """The device of this id, made when a person signs in on it for the first time."""
    device, _ = Device.objects.get_or_create(pk=device_id, defaults={"made_by": person})
    return device


def device_id_of(text: object) -> UUID:
    """As a UUID, never as text: a row that is just made keeps the type it was given. Raises CannotBe."""
    try:
        return UUID(str(text))
    except ValueError as problem:
        raise CannotBe("This tablet did not say which it is. Open Levelpeg on it again.", "device") from problem


def token_for(person: Person, device: Device) -> str:
    """Proves later, without a session, that this person was signed in on this device. Empty for a revoked one."""
    if device.revoked_at:
        return ""
    return signing.dumps({"device": str(device.pk), "person": str(person.pk)}, salt=SALT)


def proven(token: str, device: Device) -> Person | None:
    """Whoever the token was made for on this device; None when it is forged, of another device or revoked.

    It does not expire: what was captured before a long way home is as true as when it was captured.
    """
    try:
        said = signing.loads(token, salt=SALT)
    except signing.BadSignature:
        return None
    if device.revoked_at or said["device"] != str(device.pk):
        return None
    return Person.objects.filter(pk=said["person"]).first()
