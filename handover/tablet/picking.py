"""Two answers to one question, side by side at its row: a person picks the one that counts."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext as _

from handover.tablet.disagreeing import ANSWERS
from handover.tablet.models import Disagreement
from handover.walkround.models import Answer, CheckAnswer, Count, MarkFinding, Reading, SealCheck, WalkRound
from handover.walkround.page.rows import size_words
from handover.walkround.sheet import StationSheet

Fields = tuple[tuple[str, str], ...]
ADDRESSES = {
    "check": "answer-check",
    "reading": "take-reading",
    "count": "count",
    "seal": "check-seal",
    "topic": "hear-topic",
    "judge": "judge-mark",
}


@dataclass(frozen=True, slots=True)
class Pick:
    """One of the answers in words, and the fields that say the same again."""

    answer: Answer
    said: str
    fields: Fields


@dataclass(frozen=True, slots=True)
class Picking:
    """`settles` are the disagreements that are over once one of the answers is picked."""

    item: UUID
    kind: str
    address: str
    settles: tuple[UUID, ...]
    picks: tuple[Pick, ...]


def picking(
    walk: WalkRound, station: StationSheet, disagreements: Iterable[Disagreement], item: UUID
) -> Picking | None:
    """None where the answers to this question agree, or a person has picked."""
    rows = [row for row in disagreements if row.item == item]
    if not rows:
        return None
    kind = rows[0].kind
    answers: Any = ANSWERS[kind][0]._default_manager.filter(
        pk__in={key for row in rows for key in (row.stood, row.came)}
    )
    return Picking(
        item=item,
        kind=kind,
        address=reverse(ADDRESSES[kind], args=[walk.pk, station.number, item]),
        settles=tuple(row.pk for row in rows),
        picks=tuple(_pick(kind, answer, station) for answer in answers.select_related("by").order_by("at", "id")),
    )


def _pick(kind: str, answer: Answer, station: StationSheet) -> Pick:
    said, fields = SAYS[kind](answer, station)
    return Pick(answer, said, fields)


def _check(answer: CheckAnswer, station: StationSheet) -> tuple[str, Fields]:
    own = next(({"good": ask.good, "bad": ask.bad} for ask in station.checks if ask.id == answer.item_id), {})
    said = own.get(answer.word, answer.get_word_display())
    return _with(said, answer.note), (("word", answer.word), ("note", answer.note))


def _reading(answer: Reading, station: StationSheet) -> tuple[str, Fields]:
    said = answer.typed or answer.get_state_display()
    return said, (("state", answer.state), ("typed", answer.typed))


def _count(answer: Count, station: StationSheet) -> tuple[str, Fields]:
    if answer.present is None:
        return _("not counted"), (("present", "none"),)
    return str(answer.present), (("present", str(answer.present)),)


def _seal(answer: SealCheck, station: StationSheet) -> tuple[str, Fields]:
    used = tuple(("used", name) for name in answer.used)
    said = _with(answer.get_state_display(), answer.seal_number, *answer.used)
    return said, (("state", answer.state), ("seal_number", answer.seal_number), *used)


def _topic(answer: Any, station: StationSheet) -> tuple[str, Fields]:
    return answer.get_outcome_display(), (("outcome", answer.outcome), ("language", answer.language))


def _judge(answer: MarkFinding, station: StationSheet) -> tuple[str, Fields]:
    if answer.size_mm is None:
        return answer.get_word_display(), (("word", answer.word),)
    said = _with(answer.get_word_display(), size_words(answer.size_mm))
    return said, (("word", answer.word), ("size_mm", str(answer.size_mm)))


def _with(said: str, *more: str) -> str:
    return ", ".join(part for part in (said, *more) if part)


SAYS: dict[str, Callable[[Any, StationSheet], tuple[str, Fields]]] = {
    "check": _check,
    "reading": _reading,
    "count": _count,
    "seal": _seal,
    "topic": _topic,
    "judge": _judge,
}
