"""The address of a Cab card on the customer's own phone: whoever has it sees the card, until the trip is over."""

from datetime import datetime, timedelta
from uuid import UUID

import segno
from django.conf import settings
from django.core import signing
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from handover.rental.models import Rental

SALT = "cab card"
# The way home, and a return that is late.
STAYS_OPEN = timedelta(days=3)


def token_of(rental: Rental) -> str:
    return signing.Signer(salt=SALT).sign_object(rental.pk.hex).replace(":", ".")


def rental_of(token: str) -> UUID | None:
    """Whose card it is; None for a token that is not ours."""
    try:
        return UUID(hex=str(signing.Signer(salt=SALT).unsign_object(token.replace(".", ":"))))
    except (signing.BadSignature, ValueError):
        return None


def is_open(rental: Rental, now: datetime) -> bool:
    return rental.state != Rental.State.CANCELLED and now <= rental.planned_back_at + STAYS_OPEN


def address_of(rental: Rental) -> str:
    return settings.PUBLIC_URL + reverse("cab-card-phone", args=[token_of(rental)])


def qr_of(address: str) -> SafeString:
    """Dark on white, whatever the light of the page: phones read it so."""
    drawn = segno.make_qr(address, error="m").svg_inline(border=2, dark="#1a1724", light="#ffffff", omitsize=True)
    return mark_safe(drawn)  # noqa: S308 - drawn from our own address
