"""Marks: a new one pinned, a known one looked at again."""

from uuid import UUID

from django.http import HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from handover.walkround.models import MarkFinding
from handover.walkround.page.trouble import Trouble
from handover.walkround.queries import walk_of
from handover.walkround.views.replying import Part, kept, part_page
from shared.access.requests import PersonRequest


@require_POST
def pin_mark(request: PersonRequest, walk_id: UUID, number: int) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    return kept(request, walk, Part("mark", number, "walk/_new_mark.html", "marks"))


@require_POST
def judge_mark(request: PersonRequest, walk_id: UUID, number: int, mark_id: UUID) -> HttpResponse:
    """As was, or worse; worse asks for the size first and keeps nothing yet."""
    walk = walk_of(request.user, walk_id)
    part = Part("judge", number, "walk/_marks.html", f"mark-{mark_id}", mark_id)
    if request.POST.get("word") == MarkFinding.Word.WORSE and "size_mm" not in request.POST:
        return part_page(request, walk, part, Trouble(_("How large is it now?"), mark_id, "size_mm", asks=True))
    return kept(request, walk, part)
