"""Where on a photo a mark is seen. Kept with the act that pins or judges the mark, in its transaction."""

from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.photo.models import Photo, PhotoPoint
from handover.walkround.models import Mark, WalkRound
from handover.walkround.sheet import SheetData
from shared.canonical import Json

WHOLE = 1000


@dataclass(frozen=True, slots=True)
class Spot:
    """In thousandths of the photo's width and height, from the left and from above."""

    photo: UUID
    x_permille: int
    y_permille: int

    def as_told(self) -> dict[str, Json]:
        return {"photo": str(self.photo), "x": self.x_permille, "y": self.y_permille}


def check_spot(walk: WalkRound, spot: Spot | None) -> None:
    """Raises CannotBe. A photo that has not arrived yet is taken on trust: a tablet sends answers before photos."""
    if spot is None:
        return
    if not (0 <= spot.x_permille <= WHOLE and 0 <= spot.y_permille <= WHOLE):
        raise CannotBe(_("The ring lies beside the photo. Both figures go from 0 to 1000."), "photo_x")
    if Photo.objects.filter(pk=spot.photo).exclude(walk=walk).exists():
        raise CannotBe(_("This photo belongs to another walk-round. Choose one of this station."), "photo")


def point_at(walk: WalkRound, mark: Mark, spot: Spot | None, act: Act) -> None:
    if spot is not None:
        PhotoPoint.objects.create(
            id=act.key, walk=walk, photo_id=spot.photo, mark=mark, x_permille=spot.x_permille,
            y_permille=spot.y_permille, at=act.at, by=act.by,
        )  # fmt: skip


def place_of_station(sheet: SheetData, number: int) -> tuple[int, int]:
    """On the body, nearest to where the station stands: the pin of a mark that was tapped on a photo alone."""
    station = sheet.station(number)
    if station is None:
        return 0, 0
    half = sheet.width_mm // 2
    return max(-half, min(half, station.x_mm)), max(0, min(sheet.length_mm, station.y_mm))
