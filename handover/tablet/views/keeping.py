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
    walks = WalkRound.objects.filter(**which).select_related("leg")
    known = request.headers.get("If-None-Match") and scoped(walks, request.user, "leg__rental__branch").first()
    return _not_modified(request, known) if known else None


def _not_modified(request: PersonRequest, walk: WalkRound) -> HttpResponse | None:
    etag = versions_of([walk.leg]).etag(walk, request.user)
    is_known = request.headers.get("If-None-Match", "").removeprefix("W/") == etag
    return HttpResponse(status=304, headers={"ETag": etag}) if is_known else None


def _bundle(request: PersonRequest, walk: WalkRound) -> HttpResponse:
    if not_modified := _not_modified(request, walk):
        return not_modified
    etag = versions_of([walk.leg]).etag(walk, request.user)
    said = bundle(request, walk, etag=etag, now=timezone.now())
    return JsonResponse(said, headers={"ETag": etag})
