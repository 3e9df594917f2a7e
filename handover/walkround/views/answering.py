"""Answers of a station, one view for each kind."""

from uuid import UUID

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from handover.walkround import actions
from handover.walkround.forms import choice_of, number_of, seconds_shown
from handover.walkround.models import CheckAnswer, Reading, SealCheck, TopicHeard
from handover.walkround.queries import walk_of
from handover.walkround.views.replying import Part, kept
from shared.access.requests import PersonRequest


@require_POST
def answer_check(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    part = Part(number, "walk/_row_check.html", f"check-{item}", item)
    return kept(request, walk, part, lambda act: actions.answer_check(
        walk, item=item, word=choice_of(request, "word", CheckAnswer.Word), note=request.POST.get("note", ""), act=act
    ))  # fmt: skip


@require_POST
def take_reading(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    part = Part(number, "walk/_reading.html", f"reading-{item}", item)
    return kept(request, walk, part, lambda act: actions.take_reading(
        walk, item=item, typed=request.POST.get("typed", ""),
        state=choice_of(request, "state", Reading.State, usual="read"), act=act,
    ))  # fmt: skip


@require_POST
def count(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    """What is typed; else what was offered; "none" says that nobody counted."""
    walk = walk_of(request.user, walk_id)
    part = Part(number, "walk/_row_count.html", f"count-{item}", item)
    return kept(request, walk, part, lambda act: actions.count(
        walk, item=item, present=number_of(request, "present", "offered"), act=act
    ))  # fmt: skip


@require_POST
def check_seal(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    part = Part(number, "walk/_row_seal.html", f"seal-{item}", item)
    return kept(request, walk, part, lambda act: actions.check_seal(
        walk, item=item, state=choice_of(request, "state", SealCheck.State),
        seal_number=request.POST.get("seal_number", ""), used=request.POST.getlist("used"), act=act,
    ))  # fmt: skip


@require_POST
def hear_topic(request: PersonRequest, walk_id: UUID, number: int, item: UUID) -> HttpResponse:
    """The customer's own press; the time it was shown is counted from when the page gave it out."""
    walk = walk_of(request.user, walk_id)
    part = Part(number, "walk/_topic.html", "topic")
    return kept(request, walk, part, lambda act: actions.hear_topic(
        walk, item=item, outcome=choice_of(request, "outcome", TopicHeard.Outcome),
        language=walk.leg.rental.customer.language, seconds=seconds_shown(request, now=timezone.now()), act=act,
    ))  # fmt: skip
