"""A walk-round as a tablet puts it by: every station, the look-through and its pictures, begun or not."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from django.contrib.admin.models import LogEntry
from django.db.models import Count, Max
from django.http import Http404
from django.urls import reverse
from django.utils.translation import get_language

from handover.rental.models import Leg, Rental
from handover.tablet.shell import shell_version
from handover.tablet.stations import mast_html, sign_html, station_rows
from handover.walkround import actions
from handover.walkround.asking import sheet_today
from handover.walkround.models import Mark, WalkRound
from handover.walkround.queries import Seen, seen_of
from handover.zone import today_at
from shared.access.models import Person
from shared.access.requests import PersonRequest
from shared.access.scope import scoped
from shared.canonical import Json, digest
from shared.ledger.models import ChainHead

Kind = WalkRound.Kind
State = Rental.State
BEGINS_FROM = {Kind.PICKUP: {State.BOOKED, State.SWAP}, Kind.RETURN: {State.OUT}}


def walk_or_not_begun(person: Person, leg_id: UUID, kind: str, *, now: datetime) -> WalkRound:
    """The walk-round of a leg, or the one that would begin now, not stored. Raises Http404."""
    legs = Leg.objects.select_related("unit__layout", "unit__branch", "rental__branch", "rental__customer")
    leg = scoped(legs, person, "rental__branch").filter(pk=leg_id).first()
    if leg is None or kind not in Kind.values:
        raise Http404
    if walk := leg.walk_rounds.filter(kind=kind).select_related("sheet", "before", "started_by").first():
        walk.leg = leg
        return walk
    return _not_begun(leg, Kind(kind), person, now)


def _not_begun(leg: Leg, kind: Kind, person: Person, now: datetime) -> WalkRound:
    if not can_begin(leg, kind):
        raise Http404
    out = leg.walk_rounds.filter(kind=Kind.PICKUP).select_related("sheet").first() if kind == Kind.RETURN else None
    sheet = out.sheet if out else sheet_today(leg.unit, today=today_at(leg.rental.branch))
    return WalkRound(
        pk=actions.walk_id_of(leg, kind), leg=leg, kind=kind, sheet=sheet, before=actions.before_of(leg, kind),
        arrived_at=now, started_at=now, started_by=person,
    )  # fmt: skip


def can_begin(leg: Leg, kind: Kind) -> bool:
    over = leg.ended_at if kind == Kind.RETURN else leg.started_at
    return leg.rental.state in BEGINS_FROM[kind] and over is None


def bundle(request: PersonRequest, walk: WalkRound, *, etag: str, now: datetime) -> dict[str, object]:
    """As contracted. One reading of the walk-round serves all its stations."""
    seen = seen_of(walk)
    stations = list(station_rows(request, seen, [sheet.number for sheet in walk.sheet.data.stations], now=now))
    return {
        "walk": str(walk.pk),
        "leg": str(walk.leg_id),
        "kind": walk.kind,
        "begun": not walk._state.adding,
        "etag": etag,
        "bundle": bundle_address(walk),
        "mast": mast_html(request, seen, now=now),
        "stations": stations,
        "sign": sign_html(request, seen, now=now),
        "photos": list(_photos(seen)),
    }


def bundle_address(walk: WalkRound) -> str:
    """By leg and kind: the same before it begins and after."""
    return reverse("tablet-walk-of-leg", args=[walk.leg_id, walk.kind])


def _photos(seen: Seen) -> Iterable[str]:
    """Small ones of both walk-rounds; large ones of how it left, which the camera lays over what it sees."""
    for photo in seen.photos:
        yield reverse("photo-thumb", args=[photo.pk])
        if photo.walk_id != seen.walk.pk:
            yield reverse("photo", args=[photo.pk])


@dataclass(frozen=True)
class Versions:
    """Everything that a bundle is made of, as it stands: where nothing of it changed, the bundle did not.

    `lengths` are the rentals' chains, as long as they were when their digests were read.
    """

    rentals: dict[UUID, str]
    lengths: dict[UUID, int]
    marks: dict[UUID, str]

    @cached_property
    def setting_up(self) -> int:
        """What has begun has its sheet, and does not ask."""
        last: int | None = LogEntry.objects.aggregate(last=Max("pk"))["last"]
        return last or 0

    def later(self) -> "Versions":
        """The same rentals as they stand now, beside marks as they stood: one query."""
        return Versions.of(self.rentals, self.marks)

    @classmethod
    def of(cls, rentals: Iterable[UUID], marks: dict[UUID, str]) -> "Versions":
        heads = list(ChainHead.objects.filter(chain__in=set(rentals)).values_list("chain", "digest", "sequence"))
        return cls(
            rentals={chain: digest for chain, digest, _length in heads},
            lengths={chain: length for chain, _digest, length in heads},
            marks=marks,
        )

    def etag(self, walk: WalkRound, person: Person) -> str:
        begun = not walk._state.adding
        made_of: list[Json] = [
            shell_version(), str(person.pk), person.role, get_language(), person.short_name, str(walk.pk), begun,
            self.rentals.get(walk.leg.rental_id, ""), self.marks.get(walk.leg.unit_id, ""), str(walk.leg.unit_id),
        ]  # fmt: skip
        if not begun:
            made_of += [self.setting_up, str(today_at(walk.leg.rental.branch))]
        return f'"{digest(made_of)[:32]}"'


def versions_of(legs: Collection[Leg]) -> Versions:
    """In two queries however many: every act on a rental moves its chain, every change of a layout is logged."""
    marks = Mark.objects.filter(unit__in={leg.unit_id for leg in legs}).order_by().values("unit_id")
    counted = marks.annotate(of=Count("pk"), found=Max("found_at"), repaired=Max("repaired_at"))
    told = {row["unit_id"]: f"{row['of']} {row['found']} {row['repaired']}" for row in counted}
    return Versions.of((leg.rental_id for leg in legs), told)
