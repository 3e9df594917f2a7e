"""What a tablet puts by: the day, and each walk-round whole; packed, as the yard's network is slow.

No secret of the session is in them, so that packing gives none away.
"""

from uuid import UUID

from django.http import HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET

from handover.tablet.answering import api
from handover.tablet.bundles import bundle, versions_of, walk_or_not_begun
from handover.tablet.day import day_of
from handover.walkround.models import WalkRound
from handover.walkround.queries import walk_of
from shared.access.requests import PersonRequest
from shared.access.scope import scoped


@gzip_page
@require_GET
@api
def day(request: PersonRequest) -> HttpResponse:
    return JsonResponse(day_of(request.user, now=timezone.now()))


@gzip_page
@require_GET
@api
def walk(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    return _unchanged(request, pk=walk_id) or _bundle(request, walk_of(request.user, walk_id))


@gzip_page
@require_GET
@api
def walk_of_leg(request: PersonRequest, leg_id: UUID, kind: str) -> HttpResponse:
    unchanged = _unchanged(request, leg=leg_id, kind=kind)
    return unchanged or _bundle(request, walk_or_not_begun(request.user, leg_id, kind, now=timezone.now()))


def _unchanged(request: PersonRequest, **which: object) -> HttpResponse | None:
    """304 where the tablet has it already; by little reading, as every tablet asks four times a minute."""
    if "If-None-Match" not in request.headers:
        return None
    walks = WalkRound.objects.filter(**which).select_related("leg")
    walk = scoped(walks, request.user, "leg__rental__branch").first()
    return _not_modified(request, _etag(request, walk)) if walk else None


def _bundle(request: PersonRequest, walk: WalkRound) -> HttpResponse:
    """304 here too: what has not begun is found by its whole reading alone."""
    etag = _etag(request, walk)
    if not_modified := _not_modified(request, etag):
        return not_modified
    said = bundle(request, walk, etag=etag, now=timezone.now())
    return JsonResponse(said, headers={"ETag": etag})


def _etag(request: PersonRequest, walk: WalkRound) -> str:
    return versions_of([walk.leg]).etag(walk, request.user)


def _not_modified(request: PersonRequest, etag: str) -> HttpResponse | None:
    is_known = request.headers.get("If-None-Match", "").removeprefix("W/") == etag
    return HttpResponse(status=304, headers={"ETag": etag}) if is_known else None
