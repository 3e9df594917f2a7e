"""What is drawn anew and sent back after an answer: nothing where the tablet shows it just as the server would.

Good, complete, whole, understood, a photo of a pickup. A reading of a pickup comes with what it means, which stands in
its own row: that row comes back. A bad answer comes with what it brings elsewhere: its station comes back.
"""

from collections.abc import Callable
from enum import Enum
from typing import Any

from handover.photo.models import Photo
from handover.walkround.guard import asked
from handover.walkround.models import CheckAnswer, Count, Hold, Reading, SealCheck, TopicHeard, WalkRound


class Again(Enum):
    NOTHING = "nothing"
    ROW = "row"
    STATION = "station"


def again_after(walk: WalkRound | None, row: object) -> Again:
    """Of the row that an answer has just written."""
    if walk is None:
        return Again.STATION
    if (is_plain := PLAIN.get(type(row))) and is_plain(walk, row):
        return Again.NOTHING
    return Again.ROW if isinstance(row, Reading) and _is_in_its_row(walk, row) else Again.STATION


def _is_in_its_row(walk: WalkRound, row: Reading) -> bool:
    """Nothing else would look anew. At a return it changes what is to pay; what stops the unit stands everywhere."""
    return not walk.is_return and not Hold.objects.filter(walk=walk, subject=row.item_id).exists()


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
