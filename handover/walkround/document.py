"""A walk-round as the machine-readable record says it, and the digest of it that is signed."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from consumables.readable import figure
from handover.briefing.texts import english, words_in, words_sha256
from handover.photo.models import Photo
from handover.turnaround.told import let_go_document
from handover.walkround.answers import NOTHING, Answers, answers_of
from handover.walkround.combined import expanded
from handover.walkround.levels import FILLS_UP, NOT_A_LEVEL, difference, full, shown
from handover.walkround.models import Answer, CheckAnswer, Hold, Mark, Reading, TopicHeard, WalkRound
from handover.walkround.not_signed import shown_document
from handover.walkround.page.figures import spoken
from handover.walkround.sheet import CheckAsk, CountAsk, InstrumentAsk, KitAsk, StationSheet, TopicAsk, ViewAsk
from shared.canonical import digest
from shared.clock import local
from shared.phrasebook import in_house_language

SEVERITY = {"S": "safety", "D": "damage", "C": "comfort"}


@dataclass(frozen=True, slots=True)
class Found:
    """Everything of one walk-round that its document says."""

    walk: WalkRound
    now: Answers
    out: Answers  # the pickup's, at a return
    holds: dict[Any, Hold]  # the last, by what was asked
    photos: list[Photo]
    marks: dict[Any, Mark]

    @property
    def zone(self) -> str:
        return self.walk.leg.rental.branch.zone


def found_on(walk: WalkRound) -> Found:
    walks = [walk, walk.before] if walk.before else [walk]
    answers = answers_of(walks)
    return Found(
        walk=walk,
        now=answers[walk.pk],
        out=answers[walk.before.pk] if walk.is_return and walk.before else NOTHING,
        holds={hold.subject: hold for hold in walk.holds.select_related("released_by").order_by("pk")},
        photos=answers[walk.pk].photos,
        marks={mark.pk: mark for mark in Mark.objects.filter(unit=walk.leg.unit)},
    )


def shown_digest(walk: WalkRound) -> str:
    """SHA-256 of exactly what stands on the page that is signed: any later answer, mark or photo changes it."""
    found = found_on(walk)
    return digest_of(found, walk_document(found))


def digest_of(found: Found, document: dict[str, Any]) -> str:
    """Of a document that is already at hand."""
    marks = [str(mark.pk) for mark in found.marks.values() if mark.found_on_id == found.walk.pk]
    return digest({"stations": document["stations"], "remarks": document["remarks"], "photos": document["photos"],
                   "marks": sorted(marks), "overload": document["overload"]})  # fmt: skip


@in_house_language
def walk_document(found: Found) -> dict[str, Any]:
    walk = found.walk
    return {
        "kind": walk.kind,
        "mode": walk.mode,
        "keys": _keys(walk, found.zone),
        "paper": _paper(walk, found.zone),
        "let_go": None if walk.is_return else let_go_document(walk, zone=found.zone),
        "overload": _hold(found, walk.leg_id),
        "shown_offline": shown_document(walk) if walk.finished_at else None,
        "started_at": iso(walk.started_at, found.zone),
        "finished_at": iso(walk.finished_at, found.zone),
        "by": str(walk.started_by),
        "stations": [_station(found, station) for station in walk.sheet.data.stations],
        "remarks": [
            {"text": row.text, "by": str(row.by), "at": iso(row.at, found.zone)}
            for row in walk.remarks.select_related("by")
        ],
        "photos": [_photo(found, number, photo) for number, photo in enumerate(found.photos, start=1)],
    }


def _keys(walk: WalkRound, zone: str) -> dict[str, Any] | None:
    if walk.keys_found_at is None:
        return None
    return {
        "by": walk.keys_found_by,
        "at": iso(walk.keys_found_at, zone),
        "arrived_until": iso(walk.arrived_until, zone),
    }


def _paper(walk: WalkRound, zone: str) -> dict[str, Any] | None:
    sheet = walk.paper
    if sheet is None:
        return None
    return {
        "number": sheet.number,
        "keyed_in_by": str(sheet.ended_by),
        "keyed_in_at": iso(sheet.ended_at, zone),
        "lost": sheet.words if sheet.is_lost else "",
    }


def iso(when: datetime | None, zone: str) -> str | None:
    return local(when, zone).isoformat(timespec="seconds") if when else None


def _station(found: Found, sheet: StationSheet) -> dict[str, Any]:
    kind = found.walk.kind
    return {
        "number": sheet.number,
        "name": sheet.name,
        "checks": [_check(found, ask) for ask in sheet.checks if ask.at in {"both", kind}],
        "readings": [_reading(found, ask) for ask in sheet.instruments if ask.at in {"both", kind}],
        "counts": [_count(found, ask) for ask in sheet.counts],
        "seals": [_seal(found, ask) for ask in sheet.kits],
        "topics": [_topic(found, ask) for ask in sheet.topics] if kind == "pickup" else [],
        "views": [_view(found, ask) for ask in sheet.views if ask.at in {"both", kind}],
    }


def _given(found: Found, answer: Answer | None) -> dict[str, Any]:
    """Who and when; empty for a question that nobody answered."""
    if answer is None:
        return {"in_bulk": False, "by": "", "at": None}
    return {"in_bulk": answer.in_bulk, "by": str(answer.by), "at": iso(answer.at, found.zone)}


def _check(found: Found, ask: CheckAsk) -> dict[str, Any]:
    answer = found.now.checks.get(ask.id)
    return {
        "text": ask.text,
        "state": answer.word if answer else "open",
        "answer": _word(ask, answer),
        "safety": ask.safety,
        "note": answer.note if answer else "",
        "hold": _hold(found, ask.id),
    } | _given(found, answer)


def _word(ask: CheckAsk, answer: CheckAnswer | None) -> str:
    if answer is None:
        return ""
    return {"good": ask.good, "bad": ask.bad}.get(answer.word, answer.get_word_display())


def _hold(found: Found, subject: UUID) -> dict[str, Any] | None:
    hold = found.holds.get(subject)
    if hold is None:
        return None
    return {
        "sentence": hold.sentence,
        "put_right": hold.put_right,
        "released_by": str(hold.released_by) if hold.released_by else "",
        "reason": hold.reason,
        "released_at": iso(hold.released_at, found.zone),
    }


def _reading(found: Found, ask: InstrumentAsk) -> dict[str, Any]:
    row = found.now.readings.get(ask.id)
    unit = found.walk.leg.rental.branch.distance_unit
    level = shown(ask, row.value, distance_unit=unit) if row and row.value is not None else None
    top = full(ask)
    return {
        "code": ask.code,
        "name": spoken(ask),
        "state": row.state if row else "open",
        "value": str(level.value) if level else None,
        "unit": level.unit if level else ask.unit,
        "half_width": figure(ask.half_width) if ask.half_width else None,
        "resolution": figure(ask.resolution) if ask.resolution else None,
        "instrument": ask.instrument,
        "scale": {"low": "0", "high": figure(top), "parts": ask.steps} if top else None,
        "typed": row.typed if row else "",
        "doubt": row.doubt if row else "",
        "is_so": row.is_so if row else False,
        "counts": _counts(found, ask, row),
        "hold": _hold(found, ask.id),
    } | _given(found, row)


def _counts(found: Found, ask: InstrumentAsk, row: Reading | None) -> dict[str, Any] | None:
    """What of the difference to pickup counts; null at pickup, and for what is no level."""
    if not found.walk.is_return or ask.measures in NOT_A_LEVEL:
        return None
    out = found.out.readings.get(ask.id)
    if row is None or row.value is None or out is None or out.value is None:
        return {"word": "no_comparison", "amount": None, "known_to": None}
    less, more = (row.value, out.value) if ask.measures in FILLS_UP else (out.value, row.value)
    by = difference(less, more, half_width=ask.half_width)
    known_to = expanded(ask, out.value, row.value)
    return {"word": "over" if by.word == "short" and ask.measures in FILLS_UP else by.word,
            "amount": figure(by.counts) if by.counts else None,
            "known_to": figure(known_to) if known_to is not None else None}  # fmt: skip


def _count(found: Found, ask: CountAsk) -> dict[str, Any]:
    row = found.now.counts.get(ask.id)
    return {
        "name": ask.name,
        "expected": ask.quantity,
        "found": row.present if row else None,
        "note": row.note if row else "",
    } | _given(found, row)


def _seal(found: Found, ask: KitAsk) -> dict[str, Any]:
    row = found.now.seals.get(ask.id)
    return {
        "kit": ask.name,
        "expected_number": ask.seal_number,
        "found_number": row.seal_number if row else "",
        "state": row.state if row else "open",
        "used": list(row.used) if row else [],
        "note": row.note if row else "",
        "hold": _hold(found, ask.id),
    } | _given(found, row)


def _topic(found: Found, ask: TopicAsk) -> dict[str, Any]:
    row = found.now.topics.get(ask.id)
    given = _given(found, row)
    return {
        "title": ask.title,
        "severity": SEVERITY[ask.severity],
        "outcome": row.outcome if row else "skipped",
        "language": row.language if row else "",
        "texts": _texts(ask, row),
        "text_sha256": row.text_sha256 if row else "",
        "heard_by": row.heard_by if row else "",
        "seconds": row.seconds if row else None,
        "by": given["by"],
        "at": given["at"],
    }


def _texts(ask: TopicAsk, row: TopicHeard | None) -> list[dict[str, str]]:
    """The English and, where it was shown in another language, what was shown: both with their digest."""
    shown = words_in(ask, row.language) if row else english(ask)
    both = [english(ask)] if shown == english(ask) else [english(ask), shown]
    return [asdict(words) | {"sha256": words_sha256(words)} for words in both]


def _view(found: Found, ask: ViewAsk) -> dict[str, Any]:
    """A photo that the layout asks for; "not_taken" is said, since no charge can rest on what was not shown."""
    taken = [number for number, photo in enumerate(found.photos, start=1) if photo.subject == ask.subject]
    return {"name": ask.name, "state": "taken" if taken else "not_taken", "photos": taken}


def _photo(found: Found, number: int, photo: Photo) -> dict[str, Any]:
    mark = found.marks.get(photo.subject)
    return {
        "number": number,
        "view": photo.view or f"Station {photo.station_number}",
        # A photo added at the counter belongs to no station.
        "station": photo.station_number or None,
        "mark": mark.number if mark else None,
        "sha256": photo.kept_sha256,
        "printed_sha256": None,
        "points": [
            {"mark": found.marks[point.mark_id].number, "x": point.x_permille, "y": point.y_permille}
            for point in found.now.points.get(photo.pk, ())
            if point.mark_id in found.marks
        ],
        "by": str(photo.by),
        "at": iso(photo.at, found.zone),
    }


@in_house_language
def marks_of(walks: Iterable[Found]) -> list[tuple[Mark, bool, str]]:
    """Each mark of the unit that these walk-rounds saw: the mark, whether it is new on the last, what was found."""
    *_, last = walks
    seen = []
    for mark in sorted(last.marks.values(), key=lambda row: row.number):
        seen_before_the_end = last.walk.finished_at is None or mark.found_at <= last.walk.finished_at
        repaired = mark.repaired_at and mark.repaired_at < last.walk.started_at
        if repaired or not seen_before_the_end:
            continue
        finding = last.now.marks.get(mark.pk)
        words = "" if finding is None else finding.get_word_display()
        if finding and finding.size_mm:
            words = f"worse, {finding.size_mm} mm now"
        seen.append((mark, mark.found_on_id == last.walk.pk, words))
    return seen
