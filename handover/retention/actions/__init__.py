"""What people do here: set how long things are kept, hold a rental back, erase because a person asks."""

from handover.retention.actions.asking import erase_person
from handover.retention.actions.holding_back import lift_hold, place_hold
from handover.retention.actions.setting import set_terms

__all__ = ["erase_person", "lift_hold", "place_hold", "set_terms"]
