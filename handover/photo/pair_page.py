"""The page of two photos of one view: each place to look at as a ring on both, and where it is in words."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from handover.photo.models import Photo, PhotoPair
from handover.rental.models import Rental

# The drawing over a photo is a thousand wide; a ring is never too small to be seen.
ACROSS = 1000
LEAST = 60
ROOM = 12
FIGURE = 52


@dataclass(frozen=True, slots=True)
class Place:
    """A ring in units of the drawing, its number, and where it is on the photo."""

    number: int
    x: int
    y: int
    width: int
    height: int
    where: str

    @property
    def number_y(self) -> int:
        """Above the ring, and still on the photo."""
        return max(self.y - ROOM, FIGURE)


@dataclass(frozen=True, slots=True)
class PairPage:
    pair: PhotoPair
    places: list[Place]

    @property
    def out(self) -> Photo:
        return self.pair.out

    @property
    def now(self) -> Photo:
        return self.pair.now

    @property
    def rental(self) -> Rental:
        return self.pair.now.walk.leg.rental

    @property
    def is_laid(self) -> bool:
        return self.pair.state == PhotoPair.State.ALIGNED

    @property
    def tall(self) -> int:
        return _tall(self.out)


def pair_page(pair: PhotoPair) -> PairPage:
    return PairPage(pair, list(_places(pair)))


def _places(pair: PhotoPair) -> Iterator[Place]:
    tall = _tall(pair.out)
    for number, (left, top, width, height) in enumerate(pair.regions, start=1):
        x, wide = _ring(left, width, ACROSS)
        y, high = _ring(top * tall // 1000, height * tall // 1000, tall)
        yield Place(number, x, y, wide, high, _where((left + width / 2) / 1000, (top + height / 2) / 1000))


def _ring(start: int, length: int, whole: int) -> tuple[int, int]:
    """With some room round it, within the picture."""
    wide = max(length + 2 * ROOM, LEAST)
    first = max(0, min(start + length // 2 - wide // 2, whole - wide))
    return first, min(wide, whole)


def _where(across: float, down: float) -> str:
    """In thirds: upper left, in the middle, lower right."""
    names = (
        (_("upper left"), _("above"), _("upper right")),
        (_("left"), _("in the middle"), _("right")),
        (_("lower left"), _("below"), _("lower right")),
    )
    return names[min(int(down * 3), 2)][min(int(across * 3), 2)]


def _tall(photo: Photo) -> int:
    return round(ACROSS * photo.height / photo.width)
