"""All rows that a disputed line rests on, in a fixed number of queries."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple, TypedDict
from uuid import UUID

from django.db.models import OuterRef, Subquery

from handover.dispute.evidence.things import Thing, thing_of
from handover.dispute.models import Dispute
from handover.photo.models import Photo, PhotoPair, PhotoPoint
from handover.statement.lines import LineRow, line_rows
from handover.statement.models import Signature
from handover.statement.queries import wording_of
from handover.tablet.models import Receipt
from handover.walkround.models import Mark, Reading, WalkRound
from shared.ledger.models import Entry

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

WALKS = ("leg__unit", "sheet", "started_by", "finished_by", "before__finished_by", "before__leg")
IN_FULL = ("rental__branch", "rental__customer", "statement", "by", "decision__by", "decision__second",
           "decision__statement", "decision__letter")  # fmt: skip


class Tapped(TypedDict):
    """On a photo, None where nobody tapped the mark on it."""

    x: int | None
    y: int | None


class Spot(NamedTuple):
    """In thousandths of a photo's width and height."""

    x: int
    y: int


@dataclass(frozen=True, slots=True)
class Gathered:
    """`line` is the contested line of the version it was contested on; None for a chargeback.

    `out` and `back` are the walk-rounds that the line compares; `earlier` the return before the pickup. `marks` are
    the unit's, `mark` the one that the line charges, and `tapped` says where on which photo somebody tapped it.
    `photos` are of both walk-rounds, `entries` the rental's chain.
    """

    dispute: Dispute
    line: LineRow | None
    out: WalkRound | None
    back: WalkRound | None
    thing: Thing
    walks: Sequence[WalkRound]
    readings: Sequence[Reading]
    marks: Sequence[Mark]
    tapped: Mapping[UUID, Spot]
    photos: Sequence[Photo]
    pairs: Sequence[PhotoPair]
    receipts: dict[UUID, Receipt]
    signatures: Sequence[Signature]
    entries: Sequence[Entry]

    @property
    def earlier(self) -> WalkRound | None:
        return self.out.before if self.out else None

    @property
    def mark(self) -> Mark | None:
        return next((mark for mark in self.marks if mark.pk == self.thing.mark), None)

    def told(self, *kinds: str) -> Iterable[tuple[Entry, dict[str, Any]]]:
        """The entries of these kinds in order, each with what it says."""
        return ((entry, json.loads(entry.payload)) for entry in self.entries if entry.kind in kinds)

    def reading(self, walk: WalkRound | None) -> Reading | None:
        """The last of a walk-round that the line rests on."""
        return next((row for row in reversed(self.readings) if walk and row.walk_id == walk.pk), None)


def gather(dispute: Dispute) -> Gathered:
    """Seven queries at most for a dispute loaded with IN_FULL."""
    rental, inputs = dispute.rental, json.loads(dispute.statement.inputs)
    walks = list(
        WalkRound.objects.filter(leg__rental=rental).select_related(*WALKS).order_by("leg__number", "started_at")
    )
    line = _line(dispute, inputs, walks)
    answers = _answers(line)
    is_damage = dispute.code == "DAMAGE"
    readings = [] if is_damage or not answers else _readings(answers)
    marks = list(_marks(walks)) if is_damage else []
    mark = next((mark for mark in marks if mark.pk in answers), None)
    out, back = _compared(walks, readings, mark)
    thing = thing_of(dispute, out or back, readings=readings, mark=mark)
    photos = _photos([walk for walk in (out, back) if walk], mark)
    return Gathered(
        dispute=dispute, line=line, out=out, back=back, thing=thing, walks=walks, readings=readings, marks=marks,
        tapped={row.pk: Spot(row.x, row.y) for row in photos if row.x is not None and row.y is not None},
        photos=photos,
        pairs=list(PhotoPair.objects.filter(now__in=[row for row in photos if row.walk_id == (back and back.pk)])),
        receipts=_receipts([*answers, *(row.pk for row in photos if row.subject in thing.subjects)]),
        signatures=list(rental.signatures.all()),
        entries=list(Entry.objects.filter(chain=rental.pk).select_related("actor").order_by("sequence")),
    )  # fmt: skip


def _line(dispute: Dispute, inputs: dict[str, Any], walks: Sequence[WalkRound]) -> LineRow | None:
    if not dispute.code:
        return None
    rows = line_rows(json.loads(dispute.statement.result), inputs, wording_of(dispute.rental, walks))
    return next((row for row in rows if (row.code, row.ref) == (dispute.code, dispute.ref)), None)


def _answers(line: LineRow | None) -> list[UUID]:
    return [UUID(row.answer) for row in (line.readings if line else ()) if row.answer]


def _readings(answers: Iterable[UUID]) -> list[Reading]:
    rows = Reading.objects.filter(pk__in=list(answers)).select_related("by")
    return list(rows.order_by("at", "id"))


def _marks(walks: Sequence[WalkRound]) -> Iterable[Mark]:
    """Of the units of this rental."""
    units = {walk.leg.unit_id for walk in walks}
    return Mark.objects.filter(unit__in=units).select_related("found_by").order_by("found_at", "id")


def _compared(
    walks: Sequence[WalkRound], readings: Sequence[Reading], mark: Mark | None
) -> tuple[WalkRound | None, WalkRound | None]:
    """Pickup and return of the leg that the line is about, the last one where nothing says which."""
    by_reading = {row.walk_id for row in readings}
    meant = [
        walk for walk in walks
        if walk.pk in by_reading or (mark and (walk.pk == mark.found_on_id or walk.leg.unit_id == mark.unit_id))
    ]  # fmt: skip
    last = (meant or list(walks))[-1:]
    legs = [walk for walk in walks if last and walk.leg_id == last[0].leg_id]
    out = next((walk for walk in legs if not walk.is_return), None)
    return out, next((walk for walk in legs if walk.is_return), None)


def _photos(walks: Sequence[WalkRound], mark: Mark | None) -> "list[WithAnnotations[Photo, Tapped]]":
    """Each with where the mark was tapped on it last."""
    taps = PhotoPoint.objects.filter(photo_id=OuterRef("pk"), mark=mark).order_by("-at", "-id")
    rows = Photo.objects.filter(walk__in=walks).select_related("by").order_by("at", "id")
    by_id = {walk.pk: walk for walk in walks}
    photos = list(rows.annotate(x=Subquery(taps.values("x_permille")[:1]), y=Subquery(taps.values("y_permille")[:1])))
    for photo in photos:
        photo.walk = by_id[photo.walk_id]
    return photos


def _receipts(keys: Sequence[UUID]) -> dict[UUID, Receipt]:
    """What came from a tablet's memory, by the key of what it told."""
    return {row.key: row for row in Receipt.objects.filter(key__in=list(keys))}
