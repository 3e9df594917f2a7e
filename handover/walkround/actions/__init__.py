"""Everything a person does on a walk-round. Pages, the offline queue and the API call these; nothing else writes."""

from handover.walkround.actions.answering import (
    answer_check,
    check_seal,
    count,
    hear_topic,
    remark,
    take_reading,
)
from handover.walkround.actions.finishing import finish, finish_without_its_sheet, release, sign_on_paper, sign_walk
from handover.walkround.actions.leaving import customer_left
from handover.walkround.actions.marking import judge_mark, pin_mark
from handover.walkround.actions.repeating import rest_as_before
from handover.walkround.actions.starting import before_of, start_walk, walk_id_of

__all__ = [
    "answer_check",
    "before_of",
    "check_seal",
    "count",
    "customer_left",
    "finish",
    "finish_without_its_sheet",
    "hear_topic",
    "judge_mark",
    "pin_mark",
    "release",
    "remark",
    "rest_as_before",
    "sign_on_paper",
    "sign_walk",
    "start_walk",
    "take_reading",
    "walk_id_of",
]
