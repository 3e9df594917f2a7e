"""When two answers to one question say the same: their value counts; a note or a doubt beside it does not."""

from collections.abc import Callable, Iterable
from typing import Any
from uuid import UUID

from handover.walkround.models import Answer, CheckAnswer, Count, MarkFinding, Reading, SealCheck, TopicHeard

VALUES: dict[type[Answer], Callable[[Any], object]] = {
    CheckAnswer: lambda row: row.word,
    Reading: lambda row: (row.state, row.value),
    Count: lambda row: row.present,
    SealCheck: lambda row: (row.state, row.seal_number, sorted(row.used)),
    TopicHeard: lambda row: row.outcome,
    MarkFinding: lambda row: (row.word, row.size_mm),
}


def say_the_same(one: Answer, other: Answer) -> bool:
    value = VALUES[type(one)]
    return type(one) is type(other) and value(one) == value(other)


def is_said_by_one_of(answer: Answer, keys: Iterable[str]) -> bool:
    """Whether one of the answers with these keys, as far as there are any, says the same."""
    rows: Any = type(answer)._default_manager
    others = rows.filter(walk_id=answer.walk_id, pk__in=[UUID(key) for key in keys if _is_key(key)])
    return any(say_the_same(answer, other) for other in others)


def asked_by(answer: Any) -> UUID:
    """The id of the question, or of the mark."""
    asked: UUID = answer.mark_id if isinstance(answer, MarkFinding) else answer.item_id
    return asked


def _is_key(text: str) -> bool:
    try:
        UUID(text)
    except ValueError:
        return False
    return True
