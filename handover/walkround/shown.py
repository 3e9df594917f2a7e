"""What a tablet without a network showed when it was signed, set beside what the server had when it arrived.

The text is canonical JSON (RFC 8785) of {walk, unit, at, remark, photos: [sha256],
stations: [{number, name, rows: [{part, what, said, answer}]}]}: `answer` is the id of the answer that stood in the
row, or the key of the press that gave it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID, uuid5

from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.walkround.answers import Answers, answers_of
from handover.walkround.models import Answer, Mark, ShownOffline, WalkRound
from handover.walkround.page.figures import spoken
from handover.walkround.progress import asked_at
from handover.walkround.same import is_said_by_one_of
from handover.walkround.sheet import StationSheet
from shared.canonical import Json, canonical_text, digest, parse, sha256_hex
from shared.phrasebook import in_house_language

# In letters; a walk-round of twelve stations shows about 30 000.
LONGEST = 400_000


@dataclass(frozen=True, slots=True)
class Shown:
    """The text, and the digest that the strokes were drawn under: of the same without its time."""

    text: str
    sha256: str = ""


@dataclass(frozen=True, slots=True)
class Difference:
    """`shown` and `stands` are ids of answers, either of them empty; `said` is what the customer read."""

    part: str
    station: int
    what: str
    said: str
    shown: str
    stands: str

    def as_json(self) -> dict[str, Json]:
        return {name: getattr(self, name) for name in ("part", "station", "what", "said", "shown", "stands")}


def keep_shown(walk: WalkRound, shown: Shown, act: Act) -> str:
    """The digest that the signature is bound to; the text and how it differs are kept under it. Raises CannotBe."""
    sha256 = sha256_hex(shown.text.encode())
    if ShownOffline.objects.filter(pk=sha256).exists():
        return sha256
    document = _document(walk, shown)
    differences = _differences(walk, document)
    ShownOffline.objects.create(digest=sha256, walk=walk, text=shown.text, differences=differences, at=act.at)
    replace(act, key=uuid5(act.key, "shown")).write(
        chain=walk.leg.rental_id,
        kind="walk.shown_offline",
        subject=walk.pk,
        payload={"walk": str(walk.pk), "sha256": sha256, "differences": [_plainly(row) for row in differences]},
    )
    return sha256


def _plainly(difference: Mapping[str, Json]) -> dict[str, Json]:
    """Without words: the customer's own may be among them."""
    return {name: difference[name] for name in ("part", "shown", "stands")}


@in_house_language
def _differences(walk: WalkRound, document: Mapping[str, Any]) -> list[dict[str, Json]]:
    return [difference.as_json() for difference in differences_of(walk, document)]


def _document(walk: WalkRound, shown: Shown) -> dict[str, Any]:
    """Raises CannotBe for a text that is not of this walk-round, or not the one that was signed."""
    try:
        document = parse(shown.text) if len(shown.text) <= LONGEST else None
        is_whole = isinstance(document, dict) and canonical_text(document) == shown.text and _is_shaped(document)
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, OverflowError):
        is_whole = False
    if not is_whole or not isinstance(document, dict) or document.get("walk") != str(walk.pk):
        raise CannotBe(_("What was shown when it was signed did not arrive whole. Sign again."), "strokes")
    if shown.sha256 and digest({name: value for name, value in document.items() if name != "at"}) != shown.sha256:
        raise CannotBe(_("Something was changed while it was signed. Look through it again, then sign."), "strokes")
    return document


def _is_shaped(document: Mapping[str, Any]) -> bool:
    rows = [row for station in document["stations"] for row in station["rows"]]
    texts = [row[name] for row in rows for name in ("part", "what", "said", "answer")]
    numbers = [station["number"] for station in document["stations"]]
    plain = [document["remark"], document["unit"], *document["photos"], *texts]
    return all(isinstance(text, str) for text in plain) and all(type(number) is int for number in numbers)


def differences_of(walk: WalkRound, document: Mapping[str, Any]) -> Iterator[Difference]:
    """Answers that were not shown, or that no longer stand; photos, marks and words of the customer likewise."""
    now = answers_of([walk])[walk.pk]
    rows = {row["part"]: (station["number"], row) for station in document["stations"] for row in station["rows"]}
    stands = {place.part: place for place in _places(walk, now)}
    for part in dict.fromkeys([*rows, *stands]):
        number, row = rows.get(part, (0, {"what": "", "said": "", "answer": ""}))
        place = stands.get(part)
        if not _agrees(part, row["answer"], place, is_row=part in rows, now=now):
            said = place or _Place(part, number, row["what"], None, is_mark=False)
            yield Difference(part, said.station, said.what, row["said"], row["answer"], said.key)
    yield from _photos(walk, now, set(document["photos"]))
    yield from _remarks(walk, document["remark"])


@dataclass(frozen=True, slots=True)
class _Place:
    """A row as it stands on the server. A new mark is its own answer."""

    part: str
    station: int
    what: str
    answer: Answer | None
    is_mark: bool
    mark: UUID | None = None

    @property
    def key(self) -> str:
        return str(self.answer.pk if self.answer else self.mark or "")


def _places(walk: WalkRound, now: Answers) -> Iterator[_Place]:
    for station in walk.sheet.data.stations:
        names = _names(station)
        for kind, item in asked_at(station, walk.kind):
            if kind in names and item in names[kind]:
                answer = KEPT[kind](now).get(item)
                yield _Place(f"{kind}-{item}", station.number, names[kind][item], answer, is_mark=False)
    for mark in Mark.objects.filter(found_on=walk):
        yield _Place(f"mark-{mark.pk}", mark.station_number, str(mark), None, is_mark=True, mark=mark.pk)
    for finding in now.marks.values():
        yield _Place(f"mark-{finding.mark_id}", finding.mark.station_number, str(finding.mark), finding, is_mark=False)


KEPT: dict[str, Any] = {
    "check": lambda now: now.checks,
    "reading": lambda now: now.readings,
    "count": lambda now: now.counts,
    "seal": lambda now: now.seals,
    "topic": lambda now: now.topics,
}


def _names(station: StationSheet) -> dict[str, dict[UUID, str]]:
    return {
        "check": {ask.id: ask.text for ask in station.checks},
        "reading": {ask.id: spoken(ask) for ask in station.instruments},
        "count": {ask.id: ask.name for ask in station.counts},
        "seal": {ask.id: ask.name for ask in station.kits},
        "topic": {ask.id: ask.title for ask in station.topics},
    }


def _agrees(part: str, shown: str, place: _Place | None, *, is_row: bool, now: Answers) -> bool:
    """The same answer, or another that says the same. A new mark agrees when it was in a row."""
    if place is None:
        return not shown
    if place.is_mark:
        return is_row
    if place.answer is None or not shown:
        return place.answer is None and not shown
    pressed = _pressed(part, shown)
    return str(place.answer.pk) in {shown, pressed} or is_said_by_one_of(place.answer, {shown, pressed})


def _pressed(part: str, shown: str) -> str:
    """Where one press gave the answers of a whole station, the id of the one of this row."""
    try:
        return str(uuid5(UUID(shown), part.partition("-")[2]))
    except ValueError:
        return ""


def _photos(walk: WalkRound, now: Answers, shown: set[str]) -> Iterator[Difference]:
    known = {photo.sent_sha256 for photo in now.photos} | {photo.kept_sha256 for photo in now.photos}
    for photo in now.photos:
        if not shown & {photo.sent_sha256, photo.kept_sha256}:
            yield Difference(f"photo-{photo.pk}", photo.station_number, "Photo", "", "", str(photo.pk))
    for sha256 in sorted(shown - known):
        yield Difference("photo", 0, "Photo", sha256, sha256, "")


def _remarks(walk: WalkRound, shown: str) -> Iterator[Difference]:
    texts = list(walk.remarks.values_list("text", flat=True))
    if "\n".join(texts) != shown:
        yield Difference("said", 0, "What the customer said", shown, "", "")
