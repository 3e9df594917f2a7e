"""Answers that a tablet shows by itself just as the server would: nothing has to be drawn and sent back for them.

Good, complete, whole, understood, a photo of a pickup. A reading comes with what it means, a bad answer with what it
brings: those stations come back.
"""

from collections.abc import Callable
from typing import Any

from handover.photo.models import Photo
from handover.walkround.guard import asked
from handover.walkround.models import CheckAnswer, Count, SealCheck, TopicHeard, WalkRound


def is_plain(walk: WalkRound | None, row: object) -> bool:
    """Of the row that an answer has just written."""
    looked_at = PLAIN.get(type(row))
    return walk is not None and looked_at is not None and looked_at(walk, row)


def _check(_walk: WalkRound, row: CheckAnswer) -> bool:
    return row.word == CheckAnswer.Word.GOOD and not row.note


def _count(walk: WalkRound, row: Count) -> bool:
    ask = asked((ask for _, ask in walk.sheet.data.counts()), row.item_id, "count")
    return row.present == ask.quantity and not row.note


def _seal(walk: WalkRound, row: SealCheck) -> bool:
    ask = asked((ask for _, ask in walk.sheet.data.kits()), row.item_id, "seal")
    return row.state == SealCheck.State.WHOLE and row.seal_number in {"", ask.seal_number} and not row.note


def _topic(_walk: WalkRound, row: TopicHeard) -> bool:
    return row.outcome == TopicHeard.Outcome.UNDERSTOOD


def _photo(walk: WalkRound, _row: Photo) -> bool:
    """At a return it stands beside the pickup's."""
    return not walk.is_return


PLAIN: dict[type, Callable[[WalkRound, Any], bool]] = {
    CheckAnswer: _check, Count: _count, SealCheck: _seal, TopicHeard: _topic, Photo: _photo,
}  # fmt: skip
