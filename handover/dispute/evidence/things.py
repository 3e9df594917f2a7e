"""What a line is about on the vehicle: the instrument, the kit, the thing, the mark; and where it is photographed."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import dist
from uuid import UUID

from handover.dispute.models import Dispute
from handover.walkround.models import Mark, Reading, WalkRound
from handover.walkround.sheet import InstrumentAsk, SheetData, StationSheet, ViewAsk


@dataclass(frozen=True, slots=True)
class Thing:
    """`subjects` name what a photo of it is kept under, the best first; `views` are those the layout asks for.

    `stations` are where it is looked at, `ask` the instrument that its readings are taken from.
    """

    subjects: tuple[UUID, ...] = ()
    views: tuple[ViewAsk, ...] = ()
    stations: tuple[StationSheet, ...] = ()
    ask: InstrumentAsk | None = None
    mark: UUID | None = None


def thing_of(dispute: Dispute, walk: WalkRound | None, *, readings: Sequence[Reading], mark: Mark | None) -> Thing:
    if walk is None:
        return Thing()
    sheet = walk.sheet.data
    if mark is not None:
        return _marked(sheet, mark)
    direct = [*dict.fromkeys(row.item_id for row in readings), *_named(dispute, sheet)]
    stations = tuple(station for station in sheet.stations if _has(station, direct))
    views = tuple(view for station in stations for view in station.views)
    own = tuple(view for view in views if view.subject in direct)
    asks = [ask for _, ask in sheet.instruments() if ask.id in direct]
    subjects = dict.fromkeys([*direct, *(view.subject for view in own or views)])
    return Thing(tuple(subjects), own or views, stations, asks[0] if asks else None)


def _marked(sheet: SheetData, mark: Mark) -> Thing:
    """The views of its station, the one that looks closest at it first."""
    station = sheet.station(mark.station_number)
    views = station.views if station else ()
    near = sorted(views, key=lambda view: dist(view.aim_mm, (mark.x_mm, mark.y_mm)))
    stations = (station,) if station else ()
    return Thing(tuple(view.subject for view in near), tuple(near), stations, mark=mark.pk)


def _named(dispute: Dispute, sheet: SheetData) -> Iterator[UUID]:
    """Kits are charged by their code, equipment by its name."""
    if dispute.code == "SAFETY_KIT":
        yield from (ask.id for _, ask in sheet.kits() if ask.code == dispute.ref)
    if dispute.code == "EQUIPMENT":
        yield from (ask.id for _, ask in sheet.counts() if ask.name == dispute.ref)


def _has(station: StationSheet, direct: Iterable[UUID]) -> bool:
    here = {ask.id for asks in (station.instruments, station.kits, station.counts) for ask in asks}
    return not here.isdisjoint(direct)
