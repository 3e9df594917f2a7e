"""Everything that is done about a customer's link, and by a customer who came by one. Nothing else writes."""

from handover.customer.actions.absent import settle_and_tell
from handover.customer.actions.announcing import announce_late
from handover.customer.actions.making import make_link, revoke_link
from handover.customer.actions.noticing import NoticedSaid, note_noticed, was_told
from handover.customer.actions.sending import deliver, send_link

__all__ = [
    "NoticedSaid",
    "announce_late",
    "deliver",
    "make_link",
    "note_noticed",
    "revoke_link",
    "send_link",
    "settle_and_tell",
    "was_told",
]
