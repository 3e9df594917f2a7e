"""Marks: pinned where they are, and known ones looked at again."""

from dataclasses import asdict, dataclass
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.walkround.actions.pointing import Spot, check_spot, place_of_station, point_at
from handover.walkround.guard import begin
from handover.walkround.models import Mark, MarkFinding, WalkRound
from handover.walkround.sheet import SheetData
from shared.canonical import Json

# A pin may lie a little beside the body: a mirror, an awning, a bumper.
BESIDE_MM = 400
LARGEST_MM = 10_000
KINDS = dict(Mark._meta.get_field("kind").choices or ())
PARTS = dict(Mark._meta.get_field("part").choices or ())


@dataclass(frozen=True, slots=True)
class MarkSeen:
    """A damage as it is seen; the point is in mm from the centre line and the nose, the size its longest side.

    Without a point it was tapped on a photo alone, and is pinned at its station.
    """

    kind: str
    part: str
    place: str
    size_mm: int
    x_mm: int | None
    y_mm: int | None


@transaction.atomic
def pin_mark(walk: WalkRound, *, station: int, seen: MarkSeen, act: Act, spot: Spot | None = None) -> Mark:
    """A new damage on the unit, on the plan or on a photo. Raises CannotBe at the field that cannot be."""
    if earlier := begin(walk, Mark, "mark.pinned", act):
        return earlier
    check_spot(walk, spot)
    place = _placed(walk.sheet.data, station, seen, spot)
    _check_mark(walk.sheet.data, station, seen, place)
    unit = walk.leg.unit
    last = Mark.objects.filter(unit=unit).aggregate(last=Max("number"))["last"] or 0
    mark = Mark.objects.create(
        id=act.key,
        unit=unit,
        number=last + 1,
        station_number=station,
        kind=seen.kind,
        part=seen.part,
        place=seen.place.strip(),
        size_mm=seen.size_mm,
        x_mm=place.x_mm,
        y_mm=place.y_mm,
        found_at=act.at,
        found_on=walk,
        found_by=act.by,
    )
    point_at(walk, mark, spot, act)
    on_photo = {"spot": spot.as_told()} if spot else {}
    act.write(
        chain=walk.leg.rental_id,
        kind="mark.pinned",
        subject=mark.pk,
        payload={
            "walk": str(walk.pk),
            "number": mark.number,
            "station": station,
            **asdict(seen),
            **asdict(place),
            **on_photo,
        },
    )
    return mark


@dataclass(frozen=True, slots=True)
class Place:
    x_mm: int
    y_mm: int


def _placed(sheet: SheetData, station: int, seen: MarkSeen, spot: Spot | None) -> Place:
    if seen.x_mm is not None and seen.y_mm is not None:
        return Place(seen.x_mm, seen.y_mm)
    if spot is None:
        raise CannotBe(
            _("Nothing is tapped yet. Tap the plan or a photo where the mark is, or write where it lies."), "x_mm"
        )
    return Place(*place_of_station(sheet, station))


def _check_mark(sheet: SheetData, station: int, seen: MarkSeen, place: Place) -> None:
    if sheet.station(station) is None:
        raise CannotBe(_("There is no station %(station)s on this walk-round.") % {"station": station})
    if seen.kind not in KINDS:
        raise CannotBe(_("Say what kind of mark it is: scratch, scuff, chip, dent or another of the list."), "kind")
    if seen.part not in PARTS:
        raise CannotBe(_("Say which part has it: body panel, bumper, window or another of the list."), "part")
    if not seen.place.strip():
        raise CannotBe(_("Say where it is, such as kerb side door."), "place")
    if not 1 <= seen.size_mm <= LARGEST_MM:
        raise CannotBe(
            _("%(size_mm)s mm cannot be its size. Measure the longest side: 1 to %(largest_mm)s mm.")
            % {"size_mm": seen.size_mm, "largest_mm": LARGEST_MM},
            "size_mm",
        )
    if abs(place.x_mm) > sheet.width_mm // 2 + BESIDE_MM or not -BESIDE_MM <= place.y_mm <= sheet.length_mm + BESIDE_MM:
        raise CannotBe(_("The pin lies beside the vehicle. Tap the plan where the mark is."), "x_mm")


@transaction.atomic
def judge_mark(
    walk: WalkRound, *, mark_id: UUID, word: str, act: Act, size_mm: int | None = None, spot: Spot | None = None
) -> MarkFinding:
    """As was, or worse with its size now. Only the growth of a known mark can ever be charged."""
    if earlier := begin(walk, MarkFinding, "mark.judged", act):
        return earlier
    mark = Mark.objects.filter(pk=mark_id, unit=walk.leg.unit, repaired_at=None).first()
    if mark is None:
        raise CannotBe(_("This mark is not on this unit any more. Open the station again."))
    if word == MarkFinding.Word.WORSE and (size_mm is None or size_mm <= mark.size_mm):
        raise CannotBe(
            _("Mark %(mark)s was %(size_mm)s mm. Worse needs its size now, above that.")
            % {"mark": mark.number, "size_mm": mark.size_mm},
            "size_mm",
        )
    check_spot(walk, spot)
    finding = MarkFinding.objects.create(
        id=act.key, walk=walk, mark=mark, word=MarkFinding.Word(word), size_mm=size_mm, at=act.at, by=act.by
    )
    point_at(walk, mark, spot, act)
    told: dict[str, Json] = {"walk": str(walk.pk), "mark": mark.number, "word": word, "size_mm": size_mm}
    act.write(
        chain=walk.leg.rental_id,
        kind="mark.judged",
        subject=finding.pk,
        payload=told | ({"spot": spot.as_told()} if spot else {}),
    )
    return finding
