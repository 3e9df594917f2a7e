"""One station on one screen, and the way to it."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from handover.acting import CannotBe
from handover.walkround.answers import answers_of
from handover.walkround.page.plan import station_address
from handover.walkround.page.so_far import so_far as priced_so_far
from handover.walkround.progress import goes_on_at
from handover.walkround.queries import station_of, walk_of
from handover.walkround.views.replying import Part, kept, station_shown
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest


@require_safe
def walk(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    """To the first station with something open."""
    found = walk_of(request.user, walk_id)
    number = goes_on_at(found.sheet.data, found.kind, answers_of([found])[found.pk])
    return redirect(station_address(found, number))


@require_safe
def station(request: PersonRequest, walk_id: UUID, number: int) -> HttpResponse:
    found = walk_of(request.user, walk_id)
    return station_shown(request, found, Part("", number, "", ""), None, "walk/station.html", 200)


@require_safe
def so_far(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    """What a reading comes to at the counter; fetched after the station, as pricing asks much of the database."""
    found = walk_of(request.user, walk_id)
    ask = next((ask for ask in station_of(found, number).instruments if ask.id == item), None)
    if ask is None or not found.is_return:
        raise Http404
    said: dict[str, object] = {"rental": found.leg.rental}
    with in_zone_of(found.leg.rental.branch):
        try:
            said["line"] = priced_so_far(found, ask)
        except CannotBe as problem:
            said["problem"] = problem.sentence
        return render(request, "walk/_so_far.html", said)


@require_POST
def rest_as_before(request: PersonRequest, walk_id: UUID, number: int) -> HttpResponse:
    """One press for what is open; the whole station is shown again, as many rows changed."""
    found = walk_of(request.user, walk_id)
    return kept(request, found, Part("rest", number, "walk/_here.html", "here"))
