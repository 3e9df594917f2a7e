"""The inside of a walk-round's pages as text: what a tablet keeps and shows by itself."""

from collections.abc import Collection, Iterable, Iterator
from datetime import datetime
from uuid import UUID

from django.http import Http404, HttpRequest
from django.template.loader import render_to_string

from handover.tablet.receiving import RowOf
from handover.walkround.page.look_through import look_through
from handover.walkround.page.round import states_at
from handover.walkround.page.station import station_page
from handover.walkround.queries import Seen, seen_of, walk_of
from handover.walkround.sheet import StationSheet
from handover.zone import in_zone_of
from shared.access.models import Person
from shared.access.requests import PersonRequest

# A token out of a kept page would be of another sign-in: a tablet fetches its own.
NO_TOKEN = {"csrf_token": ""}


def stations_again(
    request: PersonRequest, stations: Iterable[tuple[UUID, int]], *, now: datetime
) -> list[dict[str, object]]:
    """[{walk, number, name, state, html}] of those that the person may see; each walk-round is read once."""
    by_walk: dict[UUID, list[int]] = {}
    for walk_id, number in stations:
        by_walk.setdefault(walk_id, []).append(number)
    found = ((_seen(request.user, walk_id), numbers) for walk_id, numbers in by_walk.items())
    return [
        {"walk": str(seen.walk.pk)} | row
        for seen, numbers in found
        if seen
        for row in station_rows(request, seen, numbers, now=now)
    ]


def rows_again(request: PersonRequest, rows: Collection[RowOf], *, now: datetime) -> list[dict[str, str]]:
    """[{key, html}] of those that the person may see and that are at that station; each walk-round is read once."""
    seen = {walk_id: _seen(request.user, walk_id) for walk_id in {row.walk for row in rows}}
    drawn = ((row, _row_html(request, seen[row.walk], row, now=now)) for row in rows)
    return [{"key": str(row.key), "html": html} for row, html in drawn if html]


def station_rows(
    request: PersonRequest, seen: Seen, numbers: Iterable[int], *, now: datetime
) -> Iterator[dict[str, object]]:
    """{number, name, state, html} of each that there is."""
    states = states_at(seen)
    for number in numbers:
        if station := seen.walk.sheet.data.station(number):
            html = _station_html(request, seen, station, now=now)
            yield {"number": number, "name": station.name, "state": states[number], "html": html}


def _seen(person: Person, walk_id: UUID) -> Seen | None:
    try:
        return seen_of(walk_of(person, walk_id))
    except Http404:
        return None


def _station_html(request: PersonRequest, seen: Seen, station: StationSheet, *, now: datetime) -> str:
    with in_zone_of(seen.walk.leg.rental.branch):
        page = station_page(seen, station, request.user, now=now)
        return _drawn(request, "tablet/_station.html", page)


def _row_html(request: PersonRequest, seen: Seen | None, row: RowOf, *, now: datetime) -> str:
    station = seen and seen.walk.sheet.data.station(row.number)
    if not (seen and station):
        return ""
    with in_zone_of(seen.walk.leg.rental.branch):
        page = station_page(seen, station, request.user, now=now)
        asked = page.row(row.item)
        said = {"page": page, "row": asked, **NO_TOKEN}
        return render_to_string("walk/_reading.html", said, request) if asked else ""


def mast_html(request: PersonRequest, seen: Seen, *, now: datetime) -> str:
    """As at the first station: the masthead is the same at every one."""
    with in_zone_of(seen.walk.leg.rental.branch):
        page = station_page(seen, seen.walk.sheet.data.stations[0], request.user, now=now)
        return _drawn(request, "walk/_mast.html", page)


def sign_html(request: PersonRequest, seen: Seen, *, now: datetime) -> str:
    with in_zone_of(seen.walk.leg.rental.branch):
        return _drawn(request, "tablet/_sign.html", look_through(seen, request.user, now=now))


def _drawn(request: HttpRequest, template: str, page: object) -> str:
    return render_to_string(template, {"page": page, **NO_TOKEN}, request)
