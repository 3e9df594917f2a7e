"""The inside of a walk-round's pages as text: what a tablet keeps and shows by itself."""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.http import Http404, HttpRequest
from django.template.loader import render_to_string

from handover.tablet.receiving import Batch, RowOf
from handover.walkround.models import WalkRound
from handover.walkround.page.look_through import look_through
from handover.walkround.page.readings import reading_rows
from handover.walkround.page.round import states_at
from handover.walkround.page.station import station_page
from handover.walkround.queries import Seen, may_answer, readings_seen, seen_of, walk_of
from handover.walkround.sheet import StationSheet
from handover.zone import in_zone_of
from shared.access.models import Person
from shared.access.requests import PersonRequest

# A token out of a kept page would be of another sign-in: a tablet fetches its own.
NO_TOKEN = {"csrf_token": ""}


@dataclass(frozen=True, slots=True)
class PageOfRow:
    """What the template of a row asks of the page that it stands on."""

    seen: Seen
    station: StationSheet
    can_answer: bool

    @property
    def walk(self) -> WalkRound:
        return self.seen.walk


def drawn_again(request: PersonRequest, batch: Batch, *, now: datetime) -> dict[str, list[dict[str, object]]]:
    """What a batch brings back of walk-rounds that the person may see, each read once.

    stations: [{walk, number, name, state, html}]; rows: [{key, html}], not of a station that comes back whole.
    """
    rows = batch.rows_alone()
    whole = {walk_id: seen_of(walk) for walk_id, walk in _walks(request.user, (one for one, _ in batch.shown)).items()}
    others = _walks(request.user, (row.walk for row in rows if row.walk not in whole))
    read = whole | {walk_id: readings_seen(walk) for walk_id, walk in others.items()}
    return {
        "stations": [
            {"walk": str(walk_id)} | station
            for walk_id, seen in whole.items()
            for station in station_rows(request, seen, batch.numbers_shown(walk_id), now=now)
        ],
        "rows": [
            {"key": str(row.key), "html": html}
            for row in rows
            if row.walk in read and (html := _row_html(request, read[row.walk], row))
        ],
    }


def station_rows(
    request: PersonRequest, seen: Seen, numbers: Iterable[int], *, now: datetime
) -> Iterator[dict[str, object]]:
    """{number, name, state, html} of each that there is."""
    states = states_at(seen)
    for number in numbers:
        if station := seen.walk.sheet.data.station(number):
            html = _station_html(request, seen, station, now=now)
            yield {"number": number, "name": station.name, "state": states[number], "html": html}


def _walks(person: Person, walk_ids: Iterable[UUID]) -> dict[UUID, WalkRound]:
    """Those of them that the person may see."""
    found = {}
    for walk_id in dict.fromkeys(walk_ids):
        with suppress(Http404):
            found[walk_id] = walk_of(person, walk_id)
    return found


def _station_html(request: PersonRequest, seen: Seen, station: StationSheet, *, now: datetime) -> str:
    with in_zone_of(seen.walk.leg.rental.branch):
        page = station_page(seen, station, request.user, now=now)
        return _drawn(request, "tablet/_station.html", page)


def _row_html(request: PersonRequest, seen: Seen, row: RowOf) -> str:
    """Empty where that is not asked at that station."""
    station = seen.walk.sheet.data.station(row.number)
    if station is None:
        return ""
    page = PageOfRow(seen, station, may_answer(seen.walk, request.user))
    with in_zone_of(seen.walk.leg.rental.branch):
        rows = reading_rows(seen, station, None, can_move=page.can_answer)
        asked = next((one for one in rows if one.ask.id == row.item), None)
        return _drawn(request, "walk/_reading.html", page, row=asked) if asked else ""


def mast_html(request: PersonRequest, seen: Seen, *, now: datetime) -> str:
    """As at the first station: the masthead is the same at every one."""
    with in_zone_of(seen.walk.leg.rental.branch):
        page = station_page(seen, seen.walk.sheet.data.stations[0], request.user, now=now)
        return _drawn(request, "walk/_mast.html", page)


def sign_html(request: PersonRequest, seen: Seen, *, now: datetime) -> str:
    with in_zone_of(seen.walk.leg.rental.branch):
        return _drawn(request, "tablet/_sign.html", look_through(seen, request.user, now=now))


def _drawn(request: HttpRequest, template: str, page: object, **said: object) -> str:
    return render_to_string(template, {"page": page, **said, **NO_TOKEN}, request)
