"""How a view answers an act: the changed part to htmx, the station again without script, a refusal at its row."""

from dataclasses import dataclass
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from handover.acting import CannotBe
from handover.keys import act_of
from handover.tablet.disagreeing import settle
from handover.walkround.fields import fields_of
from handover.walkround.models import WalkRound
from handover.walkround.page.plan import station_address
from handover.walkround.page.station import station_page
from handover.walkround.page.trouble import Trouble
from handover.walkround.queries import seen_of, station_of
from handover.walkround.told import TOLD, Told
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest


@dataclass(frozen=True, slots=True)
class Part:
    """What of a station is told, and what changes: its template, the id in the page, and what it is about."""

    kind: str
    number: int
    template: str
    anchor: str
    item: UUID | None = None


def kept(request: PersonRequest, walk: WalkRound, part: Part, data: bytes | None = None) -> HttpResponse:
    """Acts, then shows the part. What cannot be is said at the part; what was typed stays, nothing else is lost."""
    station_of(walk, part.number)
    trouble = None
    try:
        told = Told(act_of(request), fields_of(request), part.item, part.number, data)
        settle(walk, told.fields.all("settles"), TOLD[part.kind](walk, told), told.act)
    except CannotBe as problem:
        trouble = Trouble(problem.sentence, part.item, problem.field, request.POST.dict())
    return part_page(request, walk, part, trouble)


def part_page(request: PersonRequest, walk: WalkRound, part: Part, trouble: Trouble | None = None) -> HttpResponse:
    status = 422 if trouble and not trouble.asks else 200
    if request.htmx:
        return station_shown(request, walk, part, trouble, "walk/_changed.html", status)
    if trouble:
        return station_shown(request, walk, part, trouble, "walk/station.html", status)
    return redirect(station_address(walk, part.number, part.anchor))


def station_shown(
    request: PersonRequest, walk: WalkRound, part: Part, trouble: Trouble | None, template: str, status: int
) -> HttpResponse:
    station = station_of(walk, part.number)
    with in_zone_of(walk.leg.rental.branch):
        page = station_page(seen_of(walk), station, request.user, now=timezone.now(), trouble=trouble)
        said = {"page": page, "part": part.template, "row": page.row(part.item) if part.item else None}
        return render(request, template, said, status=status)
