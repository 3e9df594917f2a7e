"""What the pages of a walk-round read, in a fixed number of queries."""

from dataclasses import dataclass, replace
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404

from handover.customer.models import Noticed
from handover.photo.models import Photo, PhotoPair
from handover.rental.models import Rental
from handover.tablet.models import Disagreement
from handover.turnaround.leaving import left
from handover.walkround.answers import NOTHING, Answers, answers_of, readings_of
from handover.walkround.guard import right_of
from handover.walkround.models import Hold, Mark, WalkRound
from handover.walkround.sheet import StationSheet
from shared.access.models import Person
from shared.access.scope import scoped

WITH_RENTAL = ("leg__rental__customer", "leg__rental__branch", "leg__unit", "sheet", "before", "started_by")

UNDER_WAY = (Rental.State.PICKUP, Rental.State.RETURN, Rental.State.SWAP)
"""Of a rental, while one of its walk-rounds is."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One walk-round with everything its pages show; `before` are the answers it is set beside."""

    walk: WalkRound
    now: Answers
    before: Answers
    unit_marks: list[Mark]
    holds: list[Hold]
    photos: list[Photo]
    pairs: list[PhotoPair]
    other: WalkRound | None
    other_now: Answers
    disagreements: list[Disagreement]

    @property
    def marks(self) -> list[Mark]:
        """On the unit at the time of the walk-round: not repaired before it, not found after it."""
        return [mark for mark in self.unit_marks if _was_there(mark, self.walk)]

    @property
    def open_holds(self) -> list[Hold]:
        return [hold for hold in self.holds if hold.released_at is None]

    @property
    def new_marks(self) -> list[Mark]:
        return [mark for mark in self.marks if mark.found_on_id == self.walk.pk]


def walk_of(person: Person, walk_id: UUID) -> WalkRound:
    """Raises Http404 for what is not at the person's branches."""
    open_rows = Disagreement.objects.filter(walk=OuterRef("pk"), settled_at=None)
    told = Noticed.objects.filter(leg=OuterRef("leg"))
    walks = WalkRound.objects.select_related(*WITH_RENTAL)
    walks = walks.annotate(is_disputed=Exists(open_rows), has_noticed=Exists(told))
    return get_object_or_404(scoped(walks, person, "leg__rental__branch"), pk=walk_id)


def to_act_on() -> "QuerySet[WalkRound]":
    """With what an answer needs and not what the pages show beside it."""
    return WalkRound.objects.select_related("leg__rental__branch", "leg__unit", "sheet")


def rental_of(person: Person, rental_id: UUID) -> Rental:
    return get_object_or_404(scoped(Rental.objects.select_related("branch"), person), pk=rental_id)


def hold_of(person: Person, hold_id: UUID) -> Hold:
    rows = Hold.objects.select_related(*(f"walk__{path}" for path in WITH_RENTAL))
    return get_object_or_404(scoped(rows, person, "walk__leg__rental__branch"), pk=hold_id)


def station_of(walk: WalkRound, number: int) -> StationSheet:
    station = walk.sheet.data.station(number)
    if station is None:
        raise Http404
    return station


def may_answer(walk: WalkRound, person: Person) -> bool:
    """A finished walk-round is only looked at, and so is one that the person's role does not do."""
    return walk.finished_at is None and person.may(right_of(walk))


def seen_of(walk: WalkRound, *, with_other: bool = True) -> Seen:
    """In ten queries, one more at return with photos, one more with the second vehicle under way."""
    other = _other_under_way(walk) if with_other else None
    answers = answers_of([row for row in (walk, walk.before, other) if row])
    return Seen(
        walk=walk,
        now=answers[walk.pk],
        before=_offered(walk, answers[walk.before.pk]) if walk.before else NOTHING,
        unit_marks=list(Mark.objects.filter(unit_id=walk.leg.unit_id)),
        holds=list(Hold.objects.filter(walk=walk).select_related("released_by").order_by("pk")),
        photos=[photo for row in (walk.before, walk) if row for photo in answers[row.pk].photos],
        pairs=list(PhotoPair.objects.filter(now__walk=walk)) if walk.is_return and answers[walk.pk].photos else [],
        other=other,
        other_now=answers[other.pk] if other else NOTHING,
        disagreements=_disagreements(walk),
    )


def readings_seen(walk: WalkRound) -> Seen:
    """Its Readings and what they are set beside, all else left empty: what the row of one shows. In two queries."""
    answers = readings_of([row for row in (walk, walk.before) if row])
    return Seen(
        walk=walk,
        now=answers[walk.pk],
        before=_offered(walk, answers[walk.before.pk]) if walk.before else NOTHING,
        unit_marks=[], holds=[], photos=[], pairs=[], other=None, other_now=NOTHING,
        disagreements=_disagreements(walk),
    )  # fmt: skip


def _disagreements(walk: WalkRound) -> list[Disagreement]:
    """`walk_of` knows already whether there are any, which is rare."""
    rows = Disagreement.objects.filter(walk_id=walk.pk, settled_at=None)
    return list(rows) if getattr(walk, "is_disputed", True) else []


def _offered(walk: WalkRound, before: Answers) -> Answers:
    """At a pickup the last return's answers, with the levels that the turnaround left since."""
    return before if walk.is_return or walk.before is None else replace(before, readings=before.readings | left(walk))


def _was_there(mark: Mark, walk: WalkRound) -> bool:
    repaired = mark.repaired_at is not None and mark.repaired_at <= walk.started_at
    return not repaired and (walk.finished_at is None or mark.found_at <= walk.finished_at)


def _other_under_way(walk: WalkRound) -> WalkRound | None:
    """The walk-round begun last of those under way at the same branch, by whomever."""
    here = {"leg__rental__branch_id": walk.leg.rental.branch_id, "leg__rental__state__in": UNDER_WAY}
    rows = WalkRound.objects.filter(finished_at=None, **here)
    return rows.exclude(pk=walk.pk).select_related("leg__unit", "sheet").order_by("-started_at").first()
