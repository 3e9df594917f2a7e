"""Photos two in a row: at the return the same view stands pickup left, return right."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import TypeAlias

from handover.record.content import Kind, Photo, PhotoPoint, RecordContent
from handover.record.figures import Writing, digest_groups


@dataclass(frozen=True)
class PhotoCell:
    """`source` is a name the renderer serves, "" where the photo is not in this file."""

    number: int
    side: str
    view: str
    place: str
    source: str
    by: str
    at: str
    digest: str
    rings: tuple[PhotoPoint, ...]


Row: TypeAlias = tuple[PhotoCell | None, PhotoCell | None]


def photo_rows(content: RecordContent, writing: Writing) -> list[Row]:
    """Pairs of the same view first, then the photos without a partner in their order."""
    out = [_cell(photo, "Left", writing) for photo in _photos(content, "pickup")]
    if not content.is_return:
        return _two_by_two(out)
    back = [_cell(photo, "Came back", writing) for photo in _photos(content, "return")]
    return _pairs(out, back)


def photo_source(photo: Photo) -> str:
    return f"rec:photo/{photo.sha256}"


def _photos(content: RecordContent, kind: Kind) -> Sequence[Photo]:
    walk = content.walk(kind)
    return walk.photos if walk else ()


def _pairs(out: list[PhotoCell], back: list[PhotoCell]) -> list[Row]:
    """Where two photos of one view were taken, the first goes with the first."""
    unpaired = list(out)
    rows: list[Row] = []
    for cell in back:
        partner = next((other for other in unpaired if other.view == cell.view), None)
        if partner is not None:
            unpaired.remove(partner)
        rows.append((partner, cell))
    return rows + _two_by_two(unpaired)


def _two_by_two(cells: list[PhotoCell]) -> list[Row]:
    return list(zip_longest(cells[::2], cells[1::2]))


def _cell(photo: Photo, side: str, writing: Writing) -> PhotoCell:
    station = f"station {photo.station}" if photo.station is not None else ""
    mark = f"mark {photo.mark}" if photo.mark is not None else ""
    ringed = [f"mark {point.mark} in the ring" for point in _latest(photo.points)]
    return PhotoCell(
        number=photo.number,
        side=side,
        view=photo.view,
        place=", ".join(part for part in (station, mark, *ringed) if part),
        source=photo_source(photo) if photo.printed_sha256 else "",
        by=photo.by,
        at=writing.short(photo.at),
        digest=digest_groups(photo.sha256, 16),
        rings=_latest(photo.points),
    )


def _latest(points: tuple[PhotoPoint, ...]) -> tuple[PhotoPoint, ...]:
    """One ring a mark: the last tap counts."""
    return tuple({point.mark: point for point in points}.values())
