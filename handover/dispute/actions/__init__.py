"""Everything that is done to a dispute. Pages call these; nothing else writes."""

from handover.dispute.actions.opening import open_chargeback, open_dispute

__all__ = ["open_chargeback", "open_dispute"]
