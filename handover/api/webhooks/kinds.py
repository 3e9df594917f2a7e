"""What a webhook can tell of, by the entry of the ledger that it comes from. Each is of one rental."""

from collections.abc import Mapping
from enum import StrEnum

from django.utils.translation import gettext_noop


class Event(StrEnum):
    BOOKED = "rental.booked"
    CHANGED = "rental.changed"
    PICKED_UP = "rental.picked_up"
    RETURNED = "rental.returned"
    DRAWN_UP = "statement.drawn_up"
    SETTLED = "statement.settled"
    REOPENED = "statement.reopened"
    SEALED = "record.sealed"
    OPENED = "dispute.opened"
    DECIDED = "dispute.decided"


ENTRIES: Mapping[str, Event] = {
    "rental.booked": Event.BOOKED,
    "rental.changed": Event.CHANGED,
    "pickup.finished": Event.PICKED_UP,
    "return.finished": Event.RETURNED,
    "statement.drawn_up": Event.DRAWN_UP,
    "statement.settled": Event.SETTLED,
    "statement.reopened": Event.REOPENED,
    "record.made": Event.SEALED,
    "dispute.opened": Event.OPENED,
    "dispute.decided": Event.DECIDED,
}
"""By the kind in the ledger."""

EVENT_WORDS: Mapping[Event, str] = {
    Event.BOOKED: gettext_noop("A booking was entered"),
    Event.CHANGED: gettext_noop("A booking was changed"),
    Event.PICKED_UP: gettext_noop("A unit left"),
    Event.RETURNED: gettext_noop("A unit is back and looked at"),
    Event.DRAWN_UP: gettext_noop("A statement was drawn up"),
    Event.SETTLED: gettext_noop("A statement was settled"),
    Event.REOPENED: gettext_noop("What was settled was opened again"),
    Event.SEALED: gettext_noop("A record was made and sealed"),
    Event.OPENED: gettext_noop("A dispute was opened"),
    Event.DECIDED: gettext_noop("A dispute was decided"),
}
