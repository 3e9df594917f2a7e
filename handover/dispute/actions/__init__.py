"""Everything that is done to a dispute. Pages call these; nothing else writes."""

from handover.dispute.actions.bundling import order_bundle
from handover.dispute.actions.deciding import Verdict, decide
from handover.dispute.actions.handing_on import hand_on
from handover.dispute.actions.letting_know import make_letter, send_again
from handover.dispute.actions.opening import open_chargeback, open_dispute, was_opened

__all__ = [
    "Verdict", "decide", "hand_on", "make_letter", "open_chargeback", "open_dispute", "order_bundle", "send_again",
    "was_opened",
]  # fmt: skip
