"""Marks on a photo: the rings tapped on it, and what can still be marked while the walk-round is under way."""

from dataclasses import dataclass

from handover.photo.models import Photo, PhotoPoint
from handover.walkround.actions.marking import KINDS, PARTS
from handover.walkround.models import Mark
from handover.walkround.queries import may_answer
from shared.access.models import Person

# Of the photo's longer side: large enough for a finger, small enough to show what is in it.
RING_PERMILLE = 35


@dataclass(frozen=True, slots=True)
class Ring:
    """In pixels of the photo; the figure stands beside it."""

    mark: Mark
    cx: int
    cy: int
    r: int

    @property
    def text_x(self) -> int:
        return self.cx + self.r

    @property
    def text_y(self) -> int:
        return max(self.cy - self.r // 2, self.r)


@dataclass(frozen=True, slots=True)
class MarkedPhoto:
    photo: Photo
    rings: list[Ring]
    known: list[Mark]
    can_mark: bool

    @property
    def kinds(self) -> list[tuple[str, str]]:
        return list(KINDS.items())

    @property
    def parts(self) -> list[tuple[str, str]]:
        return list(PARTS.items())


def marked_photo(photo: Photo, person: Person) -> MarkedPhoto:
    """Of a photo with its walk-round; `known` are the marks of its station that can have grown."""
    points = list(PhotoPoint.objects.filter(photo_id=photo.pk).select_related("mark"))
    can_mark = may_answer(photo.walk, person) and photo.station_number > 0
    here = Mark.objects.filter(unit=photo.walk.leg.unit, repaired_at=None, station_number=photo.station_number)
    known = [mark for mark in here if mark.found_on_id != photo.walk_id] if can_mark else []
    return MarkedPhoto(photo, [_ring(photo, point) for point in latest(points)], known, can_mark)


def latest(points: list[PhotoPoint]) -> list[PhotoPoint]:
    """One ring a mark: the last tap counts, the ones before stay in the ledger."""
    return list({point.mark_id: point for point in points}.values())


def _ring(photo: Photo, point: PhotoPoint) -> Ring:
    r = max(photo.width, photo.height) * RING_PERMILLE // 1000
    return Ring(point.mark, photo.width * point.x_permille // 1000, photo.height * point.y_permille // 1000, r)
