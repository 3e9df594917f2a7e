"""What was asked at each station and what was answered: pickup beside return, the unanswered named."""

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from handover.record.content import (
    Check,
    Count,
    Hold,
    Kind,
    Reading,
    RecordContent,
    SealFound,
    Station,
    Topic,
    View,
    WalkRound,
)
from handover.record.figures import Writing, language_name, quantity

Asked = Check | Reading | Count | SealFound | Topic | View
CHECK_WORDS = {"not_inspected": "not inspected", "not_applicable": "not applicable", "open": "skipped"}
SEAL_WORDS = {
    "whole": "whole", "broken": "broken", "not_present": "not there", "not_inspected": "not inspected",
    "open": "skipped",
}  # fmt: skip
READING_WORDS = {"not_read": "not read", "not_applicable": "not applicable", "open": "skipped"}
TOPIC_WORDS = {
    "understood": "confirmed", "explained": "explained", "shown": "shown", "declined": "declined",
    "skipped": "skipped",
}  # fmt: skip


@dataclass(frozen=True)
class AskedRow:
    """`left` and `back` are (answer, note and who), both empty where nothing was asked: `unasked` says it then."""

    what: str
    left: tuple[str, str]
    back: tuple[str, str]
    unasked: str


@dataclass(frozen=True)
class StationRows:
    number: int
    name: str
    rows: tuple[AskedRow, ...]


Key: TypeAlias = tuple[str, str, int]
NOTHING = ("", "")
NOT_SIGNED = "not on what was signed"
UNANSWERED = {"not inspected", "not read", "skipped", "not counted", "not taken"}


def station_rows(content: RecordContent, writing: Writing) -> list[StationRows]:
    """Every station of either walk-round, in the order walked."""
    left, back = _stations(content, "pickup"), _stations(content, "return")
    return [
        StationRows(
            number,
            station.name,
            _paired(
                _answers(left.get(number), writing, _not_signed(content, "pickup", number)),
                _answers(back.get(number), writing, _not_signed(content, "return", number)),
            ),
        )
        for number, station in sorted((left | back).items())
    ]


def unanswered(walk: WalkRound) -> list[str]:
    """What the walk-round did not look at, each with the word for it: "Fridge: not inspected"."""
    answers = [(name_of(asked), answer_of(asked)) for station in walk.stations for asked in asked_at(station)]
    return [f"{name}: {word}" for name, word in answers if word in UNANSWERED]


def asked_at(station: Station) -> Iterator[Asked]:
    yield from station.checks
    yield from station.readings
    yield from station.counts
    yield from station.seals
    yield from station.topics
    yield from station.views


def _stations(content: RecordContent, kind: Kind) -> dict[int, Station]:
    walk = content.walk(kind)
    return {station.number: station for station in walk.stations} if walk else {}


def _not_signed(content: RecordContent, kind: Kind, number: int) -> set[str]:
    """What of a station stands otherwise than a tablet without a network showed when it was signed."""
    walk = content.walk(kind)
    shown = walk.shown_offline if walk else None
    return {row.what for row in shown.differences if row.station == number} if shown else set()


def _paired(before: Mapping[Key, tuple[str, str]], after: Mapping[Key, tuple[str, str]]) -> tuple[AskedRow, ...]:
    return tuple(
        AskedRow(key[1], before.get(key, NOTHING), after.get(key, NOTHING), _unasked(key[0]))
        for key in dict.fromkeys([*before, *after])
    )


def _unasked(kind: str) -> str:
    """Topics are for the pickup: at the return nothing is missing without them."""
    return "" if kind == Topic.__name__ else "not asked"


def _answers(station: Station | None, writing: Writing, not_signed: Collection[str]) -> dict[Key, tuple[str, str]]:
    """By kind, name and how many of that name came before: two chairs of one name stay two rows."""
    answers: dict[Key, tuple[str, str]] = {}
    seen: Counter[tuple[str, str]] = Counter()
    for asked in asked_at(station) if station else ():
        name = (type(asked).__name__, name_of(asked))
        late = NOT_SIGNED if plain_name(asked) in not_signed else ""
        answers[(*name, seen[name])] = (answer_of(asked), ", ".join(filter(None, (_beside(asked, writing), late))))
        seen[name] += 1
    return answers


def plain_name(asked: Asked) -> str:
    """As the sheet has it, without what the print adds."""
    match asked:
        case Check():
            return asked.text
        case SealFound():
            return asked.kit
        case Topic():
            return asked.title
        case Reading() | Count() | View():
            return asked.name


def name_of(asked: Asked) -> str:
    match asked:
        case Check():
            return asked.text
        case SealFound():
            return f"{asked.kit}, seal {asked.expected_number}" if asked.expected_number else asked.kit
        case Topic():
            return f"{asked.title} ({asked.severity} topic)"
        case View():
            return f"Photo: {asked.name}"
        case Reading() | Count():
            return asked.name


def answer_of(asked: Asked) -> str:
    match asked:
        case Check():
            return CHECK_WORDS.get(asked.state, asked.answer)
        case Reading():
            return quantity(asked.value, asked.unit, READING_WORDS.get(asked.state, "not read"))
        case Count():
            return "not counted" if asked.found is None else f"{asked.found} of {asked.expected}"
        case SealFound():
            return SEAL_WORDS[asked.state]
        case Topic():
            return TOPIC_WORDS[asked.outcome]
        case View():
            return "taken" if asked.photos else "not taken"


def _beside(asked: Asked, writing: Writing) -> str:
    """What else is to be said of an answer, then who gave it and when: of a photo both stand beside it."""
    if isinstance(asked, View):
        return ", ".join(f"photo {number}" for number in asked.photos)
    said = [*EXTRAS[type(asked)](asked), f"{asked.by} {writing.short(asked.at)}".strip()]
    if not isinstance(asked, Topic) and asked.in_bulk:
        said.append("with the rest of the station")
    return ", ".join(part for part in said if part)


def _check_extras(check: Check) -> list[str]:
    return [check.note, held(check.hold)]


def held(hold: Hold | None) -> str:
    """Why the unit was held and how that ended; empty where nothing held it."""
    if hold is None:
        return ""
    if not hold.released_by:
        return f"held: {hold.sentence} not released"
    ended = "put right by" if hold.put_right else "released by"
    return f"held: {hold.sentence} {ended} {hold.released_by}: {hold.reason}"


def _reading_extras(reading: Reading) -> list[str]:
    typed = "" if reading.typed in {"", str(reading.value), _shortest(reading.value)} else f"typed {reading.typed}"
    return [_instrument(reading), typed, _doubt(reading), _known_to(reading), held(reading.hold)]


def _instrument(reading: Reading) -> str:
    """gauge, steps of 0.5 L, ± 1.5 L; of a reading that was taken."""
    if reading.value is None or not reading.resolution:
        return reading.instrument
    doubt = f", ± {reading.half_width} {reading.unit}" if reading.half_width else ""
    return f"{reading.instrument}, steps of {reading.resolution} {reading.unit}{doubt}"


def _known_to(reading: Reading) -> str:
    """What the book says beside the rule that counts."""
    known_to = reading.counts.known_to if reading.counts else None
    if known_to is None:
        return ""
    return f"difference known to ± {known_to} {reading.unit} at 95 % by JCGM 100:2008, for information"


def _doubt(reading: Reading) -> str:
    if not reading.doubt:
        return ""
    return f"asked: {reading.doubt} It is so" if reading.is_so else f"doubt kept: {reading.doubt}"


def _shortest(value: Decimal | None) -> str:
    """82 for 82.0, as a person types it."""
    return "" if value is None else f"{value.normalize():f}"


def _seal_extras(seal: SealFound) -> list[str]:
    other = seal.found_number not in {"", seal.expected_number}
    return [
        f"found number {seal.found_number}" if other else "",
        f"used: {', '.join(seal.used)}" if seal.used else "",
        seal.note,
        held(seal.hold),
    ]


def _topic_extras(topic: Topic) -> list[str]:
    if topic.outcome == "skipped":
        return []
    confirmed = topic.heard_by and topic.outcome in {"understood", "declined"}
    heard = f"{'by' if confirmed else 'to'} {topic.heard_by}" if topic.heard_by else ""
    took = "" if topic.seconds is None else f"{topic.seconds}\u00a0s"
    draft = any(text.language == topic.language and text.state == "draft" for text in topic.texts)
    return [heard, f"in {language_name(topic.language)}{' (draft translation)' if draft else ''}", took]


EXTRAS: dict[type, Callable[..., list[str]]] = {
    Check: _check_extras,
    Reading: _reading_extras,
    Count: lambda count: [count.note],
    SealFound: _seal_extras,
    Topic: _topic_extras,
}
