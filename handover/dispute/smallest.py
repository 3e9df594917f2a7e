"""The smallest mark that a photo could have shown, from its pixels and from where it was taken. Pure.

Stated assumptions, each in favour of whoever doubts the photo where it can be:

- A tablet's camera sees 64 degrees along its longer side (28 mm equivalent sees 65); the plan draws the same field.
- It takes PIXELS pixels across to tell that something is there: one and a half line pairs, half as much again as the
  one line pair of Johnson's criterion for detecting (from memory). Telling what it is takes several times as many.
- The surface is seen straight on, sharp and in even light. Dirt, glare, rain, dusk and a shake of the hand make the
  smallest mark larger: what this gives is the least that it can be, and never proof that a mark was seen.
- The plan is flat: how high the camera and the mark were is not known, so the distance is at least the one computed.
"""

from dataclasses import dataclass
from math import atan2, degrees, dist, radians, tan

FIELD_DEGREES = 64
PIXELS = 3


@dataclass(frozen=True, slots=True)
class Taken:
    """A photo as kept, in pixels, and its view: where the camera was and what it aimed at, in mm on the plan."""

    width_px: int
    height_px: int
    eye_mm: tuple[int, int]
    aim_mm: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Smallest:
    """`distance_mm` from the camera to the mark, `across_mm` what the photo's width spans there, `least_mm` the mark.

    `in_view` is False where the mark lies beside what the view shows.
    """

    distance_mm: int
    across_mm: int
    least_mm: float
    in_view: bool = True

    def shows(self, size_mm: int) -> bool:
        """Whether a mark of that size could be seen by its pixels alone."""
        return self.in_view and size_mm >= self.least_mm


def smallest_mark(photo: Taken, mark_mm: tuple[int, int] | None = None) -> Smallest | None:
    """None where it cannot be known: no pixels, or a camera that stands where it aims.

    Without `mark_mm` the distance is to the middle of the picture.
    """
    to = mark_mm or photo.aim_mm
    distance = dist(photo.eye_mm, to)
    if min(photo.width_px, photo.height_px) <= 0 or photo.eye_mm == photo.aim_mm or not distance:
        return None
    half = _half_tangent(photo)
    across = 2 * distance * half
    aside = _turn(photo.eye_mm, photo.aim_mm, to)
    return Smallest(
        distance_mm=round(distance),
        across_mm=round(across),
        least_mm=PIXELS * across / photo.width_px,
        in_view=aside < 90 and tan(radians(aside)) <= half,
    )


def _half_tangent(photo: Taken) -> float:
    """Of half the field across: the longer side spans FIELD_DEGREES, a photo held upright sees less to its sides."""
    longer = max(photo.width_px, photo.height_px)
    return tan(radians(FIELD_DEGREES / 2)) * photo.width_px / longer


def _turn(eye: tuple[int, int], aim: tuple[int, int], to: tuple[int, int]) -> float:
    """Degrees between the middle of the picture and the mark, 0 to 180."""
    first, second = (atan2(point[1] - eye[1], point[0] - eye[0]) for point in (aim, to))
    turn = abs(degrees(second - first)) % 360
    return min(turn, 360 - turn)
