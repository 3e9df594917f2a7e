"""One station on one screen, and the way to it."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_POST

from handover.walkround import actions
from handover.walkround.answers import answers_of
from handover.walkround.page.plan import station_address
from handover.walkround.progress import goes_on_at
from handover.walkround.queries import station_of, walk_of
from handover.walkround.views.replying import Part, kept, station_shown
from shared.access.requests import PersonRequest


@require_GET
def walk(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    """To the first station with something open."""
    found = walk_of(request.user, walk_id)
    number = goes_on_at(found.sheet.data, found.kind, answers_of([found])[found.pk])
    return redirect(station_address(found, number))


@require_GET
def station(request: PersonRequest, walk_id: UUID, number: int) -> HttpResponse:
    found = walk_of(request.user, walk_id)
    return station_shown(request, found, Part(number, "", ""), None, "walk/station.html", 200)


@require_POST
def rest_as_before(request: PersonRequest, walk_id: UUID, number: int) -> HttpResponse:
    """One press for what is open; the whole station is shown again, as many rows changed."""
    found = walk_of(request.user, walk_id)
    station_of(found, number)
    part = Part(number, "walk/_here.html", "here")
    return kept(request, found, part, lambda act: actions.rest_as_before(found, station=number, act=act))
