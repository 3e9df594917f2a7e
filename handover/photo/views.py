"""Photos: added at a station, shown small and large to people of the branch, the original only as a file."""

from uuid import UUID

from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from handover.acting import CannotBe
from handover.keys import act_of, chosen
from handover.photo.marked import marked_photo
from handover.photo.models import Photo, PhotoPair
from handover.photo.pair_page import pair_page
from handover.photo.uploading import TOO_LARGE, too_large
from handover.walkround.fields import fields_of
from handover.walkround.queries import walk_of
from handover.walkround.told import TOLD, Told
from handover.walkround.views.replying import Part, kept, part_page
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
    if request.META.get(TOO_LARGE) == "photo":
        return part_page(request, walk, part, too_large(request.POST.dict()))
    return kept(request, walk, part, sent.read() if sent else None)


@require_safe
def photo(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _inline(_photo_of(request, pk).display)


@require_safe
def photo_page(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The photo with who took it, when, and the digest it is kept under."""
    return _shown(request, _in_full(request, pk))


def _in_full(request: PersonRequest, pk: UUID) -> Photo:
    return get_object_or_404(scoped(photos_in_full(), request.user, "walk__leg__rental__branch"), pk=pk)


def _shown(request: PersonRequest, found: Photo, problem: CannotBe | None = None) -> HttpResponse:
    rental = found.walk.leg.rental
    with in_zone_of(rental.branch):
        said = {
            "photo": found, "rental": rental, "page": marked_photo(found, request.user), "problem": problem,
            "typed": request.POST,
        }  # fmt: skip
        return render(request, "walk/photo.html", said, status=422 if problem else 200)


@require_POST
def mark_on_photo(request: PersonRequest, pk: UUID) -> HttpResponse:
    """A new mark, or a known one that has grown, where it was tapped on this photo."""
    found = _in_full(request, pk)
    fields = fields_of(request)
    known = fields.get("mark").strip()
    try:
        item = chosen(request, "mark") if known else None
        told = Told(act_of(request), fields, item=item, station=found.station_number)
        TOLD["judge" if known else "mark"](found.walk, told)
    except CannotBe as problem:
        return _shown(request, found, problem)
    return redirect("photo-page", found.pk)


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


@require_safe
def photo_pair(request: PersonRequest, pk: UUID) -> HttpResponse:
    """Both photos of one view, with the places to look at."""
    pair = _pair_of(request, pk)
    with in_zone_of(pair.now.walk.leg.rental.branch):
        return render(request, "walk/pair.html", {"page": pair_page(pair)})


@require_safe
def photo_laid(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The later photo as seen from where the earlier was taken."""
    pair = _pair_of(request, pk)
    if not pair.aligned:
        raise Http404
    return _inline(pair.aligned)


def _pair_of(request: PersonRequest, pk: UUID) -> PhotoPair:
    walk = "now__walk__leg"
    pairs = PhotoPair.objects.select_related(
        "out__by", "out__walk", "now__by", f"{walk}__unit", f"{walk}__rental__branch", f"{walk}__rental__customer"
    )
    return get_object_or_404(scoped(pairs, request.user, f"{walk}__rental__branch"), pk=pk)


def _photo_of(request: PersonRequest, pk: UUID) -> Photo:
    return get_object_or_404(scoped(Photo.objects.all(), request.user, "walk__leg__rental__branch"), pk=pk)


def _inline(name: str) -> HttpResponse:
    return HttpResponse(read(name), content_type="image/jpeg", headers={"Cache-Control": CACHED})
