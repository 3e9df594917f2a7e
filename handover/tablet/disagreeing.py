"""Two tablets answer one question without having seen each other's answer: both stay, and a person picks one."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils import timezone

from handover.acting import Act
from handover.tablet.entry import Entry
from handover.tablet.models import Disagreement
from handover.walkround.actions.answering import check_asked, reading_asked
from handover.walkround.actions.holding import hold_reading, hold_unit, open_holds, reading_stops
from handover.walkround.models import (
    Answer,
    CheckAnswer,
    Count,
    Hold,
    MarkFinding,
    Reading,
    SealCheck,
    TopicHeard,
    WalkRound,
)
from handover.walkround.same import asked_by, say_the_same
from shared.access.models import Device
from shared.ids import uuid7
from shared.ledger.models import Entry as LedgerEntry
from shared.ledger.rows import written
from shared.ledger.writing import append

# The answers by kind, and the column that names the question.
ANSWERS: dict[str, tuple[type[Answer], str]] = {
    "check": (CheckAnswer, "item_id"),
    "reading": (Reading, "item_id"),
    "count": (Count, "item_id"),
    "seal": (SealCheck, "item_id"),
    "topic": (TopicHeard, "item_id"),
    "judge": (MarkFinding, "mark_id"),
}


@dataclass(frozen=True, slots=True)
class Standing:
    """How a question stands before an entry comes: the answer that counts, and the holds that it set."""

    answer: Answer
    holds: tuple[UUID, ...]


def standing(entry: Entry, walk: WalkRound) -> Standing | None:
    """To be read before the action; None where nothing is answered yet, and for what is no answer to a question."""
    if entry.kind not in ANSWERS or entry.item is None:
        return None
    model, asked = ANSWERS[entry.kind]
    rows: Any = model._default_manager
    found = rows.filter(walk=walk, **{asked: entry.item}).exclude(pk=entry.key).order_by("at", "id").last()
    holds = open_holds(walk, entry.item).values_list("pk", flat=True)
    return Standing(found, tuple(holds)) if found else None


def is_disagreement(entry: Entry, walk: WalkRound, was: Standing | None, came: object, device: Device) -> bool:
    """Whether `came` says otherwise than an answer of another tablet that its own had not seen."""
    if was is None or not isinstance(came, Answer) or was.answer.pk == entry.base:
        return False
    return not say_the_same(was.answer, came) and _device_of(was.answer, walk) != device.pk


def keep_disagreement(walk: WalkRound, kind: str, was: Standing, came: Answer) -> Disagreement:
    """Both answers stay. What of them holds the unit does so until a person picks one, whichever was later."""
    row = Disagreement.objects.create(
        walk=walk, item=asked_by(came), kind=kind, stood=was.answer.pk, came=came.pk, found_at=timezone.now()
    )
    holds = Hold.objects.filter(pk__in=was.holds)
    holds.update(released_at=None, released_by=None, reason="", put_right=False)
    written(holds)
    if isinstance(came, CheckAnswer) and came.word == CheckAnswer.Word.BAD:
        hold_unit(walk, check_asked(walk, came.item_id), came)
    elif isinstance(came, Reading):
        ask = reading_asked(walk, came.item_id)
        if sentence := reading_stops(walk, ask, came):
            hold_reading(walk, ask, came, sentence)
    _write(row, "disagreement.found", None, {"stood": str(row.stood), "came": str(row.came)})
    return row


def settle(walk: WalkRound, seen: Sequence[str], answer: object, act: Act) -> None:
    """A new answer by who saw the disagreements whose ids are `seen`: those of this question are over."""
    if not seen or not isinstance(answer, Answer):
        return
    for row in Disagreement.objects.filter(walk=walk, item=asked_by(answer), settled_at=None):
        if str(row.pk) in seen:
            row.settled_with, row.settled_at = answer.pk, timezone.now()
            row.save(update_fields=["settled_with", "settled_at"])
            _write(row, "disagreement.settled", act, {"with": str(answer.pk)})


def _write(row: Disagreement, kind: str, act: Act | None, said: dict[str, str]) -> None:
    append(
        chain=row.walk.leg.rental_id, kind=kind, by=act.by if act else None, key=uuid7(), subject=row.pk,
        happened_at=act.at if act else row.found_at, device=act.device if act else "",
        payload={"walk": str(row.walk_id), "kind": row.kind, "item": str(row.item), **said},
    )  # fmt: skip


def _device_of(answer: Answer, walk: WalkRound) -> UUID | None:
    """Which tablet gave it, as the ledger says; many answers of one press have no entry each."""
    entries = LedgerEntry.objects.filter(chain=walk.leg.rental_id)
    if answer.in_bulk:
        entries = entries.filter(kind="station.rest_as_before", payload__contains=str(answer.pk))
    else:
        entries = entries.filter(subject=answer.pk)
    named = entries.values_list("device", flat=True).first()
    try:
        return UUID(named or "")
    except ValueError:
        return None
