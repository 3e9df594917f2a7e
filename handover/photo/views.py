"""Photos: added at a station, shown small and large to people of the branch, the original only as a file."""

from uuid import UUID

from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_POST, require_safe

from handover.photo.models import Photo
from handover.walkround.queries import walk_of
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
    sent = request.FILES.get("photo")
    part = Part("photo", number, "walk/_photo_form.html", "photos")
    return kept(request, walk, part, sent.read() if sent else None)


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
