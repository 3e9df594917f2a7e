"""The photos that a layout asks for: each view with where it is taken from, how it left, and how it is now."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from django.utils.safestring import SafeString, mark_safe

from fleet.drawing.sight import sight_svg
from handover.photo.models import Photo, PhotoPair
from handover.walkround.plan import plan_input
from handover.walkround.queries import Seen
from handover.walkround.sheet import StationSheet, ViewAsk


@dataclass(frozen=True, slots=True)
class ViewRow:
    """`out` and `pair` at return only: the photo from pickup, and both laid over each other."""

    ask: ViewAsk
    sight: SafeString
    out: Photo | None
    now: Photo | None
    pair: PhotoPair | None


def view_rows(seen: Seen, station: StationSheet) -> Iterator[ViewRow]:
    """Of several photos of one view the latest counts."""
    now = _latest(photo for photo in seen.photos if photo.walk_id == seen.walk.pk)
    out = _latest(photo for photo in seen.photos if photo.walk_id != seen.walk.pk) if seen.walk.is_return else {}
    pairs = {pair.now_id: pair for pair in seen.pairs}
    plan = plan_input(seen.walk.sheet.data)
    for ask in station.views:
        if ask.at not in {"both", seen.walk.kind}:
            continue
        shown = now.get(ask.subject)
        drawn = mark_safe(sight_svg(plan, ask.eye_mm, ask.aim_mm))  # noqa: S308 - numbers only, no word of anybody's
        yield ViewRow(ask, drawn, out.get(ask.subject), shown, pairs.get(shown.pk) if shown else None)


def _latest(photos: Iterator[Photo]) -> dict[UUID, Photo]:
    return {photo.subject: photo for photo in photos if photo.subject}
