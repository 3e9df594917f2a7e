"""Everything a person decides at the counter. Pages and the API call these; nothing else writes."""

from handover.counter.actions.correcting import correct_reading
from handover.counter.actions.crediting import give_credit
from handover.counter.actions.finding import explain_kit, look_at_tanks, look_at_zone, note_item
from handover.counter.actions.objecting import answer_objection, object_to_line
from handover.counter.actions.reading_again import read_again
from handover.counter.actions.reopening import reopen
from handover.counter.actions.waiving import waive, withdraw_waiver

__all__ = [
    "answer_objection",
    "correct_reading",
    "explain_kit",
    "give_credit",
    "look_at_tanks",
    "look_at_zone",
    "note_item",
    "object_to_line",
    "read_again",
    "reopen",
    "waive",
    "withdraw_waiver",
]
