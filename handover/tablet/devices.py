"""Devices and the proof of who held one: a token that the server signed when the person signed in on it."""

from uuid import UUID

from django.core import signing
from django.utils import timezone
from django.utils.translation import gettext as _

from handover.acting import CannotBe
from shared.access.models import Device, Person
from shared.access.taking_over import remember

SALT = "tablet.author"


def device_of(device_id: UUID, person: Person, *, by_password: bool = False) -> Device:
    """The device of this id, made when a person signs in on it for the first time; the person is known on it then."""
    known = None if by_password else Device.objects.filter(pk=device_id).first()
    return known or remember(device_id, person, at=timezone.now(), by_password=by_password)


def device_id_of(text: object) -> UUID:
    """As a UUID, never as text: a row that is just made keeps the type it was given. Raises CannotBe."""
    try:
        return UUID(str(text))
    except ValueError as problem:
        raise CannotBe(_("This tablet did not say which it is. Open Levelpeg on it again."), "device") from problem


def token_for(person: Person, device: Device) -> str:
    """Proves later, without a session, that this person was signed in on this device. Empty for a revoked one."""
    if device.revoked_at:
        return ""
    return signing.dumps({"device": str(device.pk), "person": str(person.pk)}, salt=SALT)


def proven(token: str, device: Device, sender: Person | None = None) -> Person | None:
    """Whoever the token was made for on this device; None when it is forged, of another device or revoked.

    It does not expire: what was captured before a long way home is as true as when it was captured. Mostly it is who
    sends it, and they have been read.
    """
    try:
        said = signing.loads(token, salt=SALT)
    except signing.BadSignature:
        return None
    if device.revoked_at or said["device"] != str(device.pk):
        return None
    if sender and str(sender.pk) == said["person"]:
        return sender
    return Person.objects.filter(pk=said["person"]).first()
