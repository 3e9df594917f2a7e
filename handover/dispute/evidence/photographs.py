"""Which two photos show the thing of a line: one of pickup, one of return, and what the first could have shown."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from handover.dispute.evidence.gathering import IN_FULL, Gathered, Spot, gather
from handover.dispute.models import Dispute
from handover.dispute.smallest import Smallest, Taken, smallest_mark
from handover.photo.models import Photo, PhotoPair
from handover.walkround.models import WalkRound
from handover.walkround.sheet import ViewAsk


@dataclass(frozen=True, slots=True)
class Photographed:
    """`ring` is where the mark was tapped on the return photo; `smallest` None where it cannot be known."""

    view: ViewAsk | None
    out: Photo | None
    back: Photo | None
    pair: PhotoPair | None
    ring: Spot | None
    smallest: Smallest | None


def photographed(found: Gathered) -> Photographed:
    """The first subject with both photos, else with one of pickup, else with one of return."""
    subjects = _subjects(found)
    out, back = _latest(found, found.out), _latest(found, found.back)
    subject = next(iter([
        *(name for name in subjects if name in out and name in back),
        *(name for name in subjects if name in out),
        *(name for name in subjects if name in back),
    ]), None)  # fmt: skip
    taken_out, taken_back = _of(out, subject), _of(back, subject) or _close_up(found, back)
    view = next((view for view in found.thing.views if view.subject == subject), None)
    return Photographed(
        view=view,
        out=taken_out,
        back=taken_back,
        pair=next(
            (row for row in found.pairs if taken_out and taken_back and _joins(row, taken_out, taken_back)), None
        ),
        ring=found.tapped.get(taken_back.pk) if taken_back else None,
        smallest=_smallest(found, taken_out, view),
    )


def pair_of(dispute: Dispute) -> list[Photo]:
    """The photos of a dispute for its letter, pickup first; empty where there are none."""
    if not dispute.code:
        return []
    whole = Dispute.objects.select_related(*IN_FULL).get(pk=dispute.pk)
    shown = photographed(gather(whole))
    return [photo for photo in (shown.out, shown.back) if photo]


def _subjects(found: Gathered) -> Sequence[UUID]:
    """A photo that the mark was tapped on shows it for certain: its view goes first."""
    on = [photo.subject for photo in found.photos if photo.pk in found.tapped and photo.subject]
    return list(dict.fromkeys([*on, *found.thing.subjects]))


def _latest(found: Gathered, walk: WalkRound | None) -> dict[UUID, Photo]:
    rows: Iterable[Photo] = (photo for photo in found.photos if walk and photo.walk_id == walk.pk)
    return {photo.subject: photo for photo in rows if photo.subject}


def _of(photos: dict[UUID, Photo], subject: UUID | None) -> Photo | None:
    return photos.get(subject) if subject else None


def _close_up(found: Gathered, back: dict[UUID, Photo]) -> Photo | None:
    return _of(back, found.thing.mark)


def _joins(pair: PhotoPair, out: Photo, back: Photo) -> bool:
    return (pair.out_id, pair.now_id) == (out.pk, back.pk)


def _smallest(found: Gathered, out: Photo | None, view: ViewAsk | None) -> Smallest | None:
    mark = found.mark
    if out is None or view is None or mark is None:
        return None
    photo = Taken(out.width, out.height, view.eye_mm, view.aim_mm)
    return smallest_mark(photo, (mark.x_mm, mark.y_mm))
