"""Answers of a station, one view for each kind."""

from uuid import UUID

from django.http import HttpResponse
from django.views.decorators.http import require_POST

from handover.walkround.queries import walk_of
from handover.walkround.views.replying import Part, kept
from shared.access.requests import PersonRequest


@require_POST
def answer_check(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    return kept(request, walk, Part("check", number, "walk/_row_check.html", f"check-{item}", item))


@require_POST
def take_reading(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    return kept(request, walk, Part("reading", number, "walk/_reading.html", f"reading-{item}", item))


@require_POST
def count(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    return kept(request, walk, Part("count", number, "walk/_row_count.html", f"count-{item}", item))


@require_POST
def check_seal(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    return kept(request, walk, Part("seal", number, "walk/_row_seal.html", f"seal-{item}", item))


@require_POST
def hear_topic(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    return kept(request, walk, Part("topic", number, "walk/_topic.html", "topic", item))
