"""Photos: added at a station, shown small and large to people of the branch, the original only as a file."""

from uuid import UUID

from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_POST, require_safe

from handover.acting import Act, CannotBe
from handover.photo.actions import add_photo as keep_photo
from handover.photo.models import Photo
from handover.walkround.models import Mark, WalkRound
from handover.walkround.page.figures import spoken
from handover.walkround.queries import station_of, walk_of
from handover.walkround.views.replying import Part, kept
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.scope import scoped
from shared.files.store import read

# The bytes behind an address never change, but who may see them does.
CACHED = "private, max-age=86400"


@require_POST
def add_photo(request: PersonRequest, walk_id: UUID, number: int) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    part = Part(number, "walk/_photo_form.html", "photos")

    def do(act: Act) -> None:
        sent = request.FILES.get("photo")
        if sent is None:
            raise CannotBe("No photo came with it. Take one, or choose one that is on this tablet.", "photo")
        subject, view = _shows(walk, number, request.POST.get("subject", ""))
        keep_photo(walk, station=number, data=sent.read(), view=view, subject=subject, act=act)

    return kept(request, walk, part, do)


def _shows(walk: WalkRound, number: int, subject: str) -> tuple[UUID | None, str]:
    """What is seen, by its id and in words; nothing chosen is the station as a whole. Raises CannotBe."""
    station = station_of(walk, number)
    if not subject:
        return None, station.name
    views = {str(ask.id): spoken(ask) for ask in station.instruments}
    views |= {str(ask.id): ask.name for ask in station.kits} | {str(ask.id): ask.text for ask in station.checks}
    views |= {str(mark.pk): f"Mark {mark.number}, {mark.place}" for mark in Mark.objects.filter(unit=walk.leg.unit)}
    if subject not in views:
        raise CannotBe("Say what the photo shows: one of the list.", "subject")
    return UUID(subject), views[subject]


@require_safe
def photo(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _inline(_photo_of(request, pk).display)


@require_safe
def photo_page(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The photo with who took it, when, and the digest it is kept under."""
    found = get_object_or_404(scoped(photos_in_full(), request.user, "walk__leg__rental__branch"), pk=pk)
    rental = found.walk.leg.rental
    with in_zone_of(rental.branch):
        return render(request, "walk/photo.html", {"photo": found, "rental": rental})


def photos_in_full() -> QuerySet[Photo]:
    return Photo.objects.select_related(
        "by", "walk__leg__unit", "walk__leg__rental__branch", "walk__leg__rental__customer"
    )


@require_safe
def photo_thumb(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _inline(_photo_of(request, pk).thumb)


@require_safe
def photo_original(request: PersonRequest, pk: UUID) -> HttpResponse:
    """Never shown in the browser: what follows the picture in the file is the camera's, not ours."""
    found = _photo_of(request, pk)
    suffix = found.original.rpartition(".")[2]
    response = HttpResponse(read(found.original), content_type=found.content_type)
    response["Content-Disposition"] = f'attachment; filename="photo-{found.kept_sha256[:12]}.{suffix}"'
    response["Cache-Control"] = CACHED
    return response


def _photo_of(request: PersonRequest, pk: UUID) -> Photo:
    return get_object_or_404(scoped(Photo.objects.all(), request.user, "walk__leg__rental__branch"), pk=pk)


def _inline(name: str) -> HttpResponse:
    return HttpResponse(read(name), content_type="image/jpeg", headers={"Cache-Control": CACHED})
