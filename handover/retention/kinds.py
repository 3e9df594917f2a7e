"""The kinds of personal data, and how long each is kept unless a branch says otherwise. Pure: no Django, no clock.

The days are a start and no advice: how long a contract and its invoice have to be kept, until when claims can be
made, and what has to go sooner varies by country. Ask a lawyer or tax adviser, then set them for each branch.
"""

from collections.abc import Mapping
from enum import StrEnum


class Kind(StrEnum):
    NAME = "name"
    PHONE = "phone"
    SIGNATURES = "signatures"
    WORDS = "words"
    SENT = "sent"
    PHOTOS = "photos"
    DAMAGE = "damage"
    DOCUMENTS = "documents"
    PLACES = "places"
    DELIVERIES = "deliveries"
    TABLET = "tablet"


DAYS: Mapping[Kind, int] = {
    Kind.NAME: 3650,
    Kind.PHONE: 365,
    Kind.SIGNATURES: 2190,
    Kind.WORDS: 2190,
    Kind.SENT: 2190,
    Kind.PHOTOS: 365,
    Kind.DAMAGE: 2190,
    Kind.DOCUMENTS: 3650,
    Kind.PLACES: 30,
    Kind.DELIVERIES: 90,
    Kind.TABLET: 30,
}
"""Days after the rental ended: the last of return, settlement, payment, decision of a dispute."""

MOST_DAYS = 36_500

OF_THE_VEHICLE = frozenset({Kind.DAMAGE})
"""Not the person's: what they show stays with the unit, so a person's request leaves them to the schedule."""
