"""The customer's language on a walk-round; for the coordinator, how the Topics stand in each language, and approval."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from fleet.languages import BY_CODE, TRANSLATED, Language
from fleet.models import Layout, TopicText
from handover.acting import CannotBe
from handover.briefing import actions
from handover.briefing.queries import briefing_tables, column_of
from handover.keys import act_of
from handover.walkround.queries import walk_of
from handover.walkround.views.replying import Part, kept
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require_right


@require_POST
def choose_language(request: PersonRequest, walk_id: UUID, number: int) -> HttpResponse:
    walk = walk_of(request.user, walk_id)
    return kept(request, walk, Part("language", number, "walk/_topic.html", "topic"))


@require_safe
def briefing(request: PersonRequest) -> HttpResponse:
    require_right(request.user, Right.SET_UP)
    return render(request, "briefing/briefing.html", {"tables": briefing_tables()})


@require_safe
def translations(request: PersonRequest, layout: str, language: str) -> HttpResponse:
    require_right(request.user, Right.SET_UP)
    return _side_by_side(request, get_object_or_404(Layout, code=layout), _language(language))


def _language(code: str) -> Language:
    if code not in BY_CODE or BY_CODE[code] not in TRANSLATED:
        raise Http404
    return BY_CODE[code]


def _side_by_side(
    request: PersonRequest, layout: Layout, language: Language, refused: dict[str, object] | None = None
) -> HttpResponse:
    said = {"column": column_of(layout, language), "refused": refused or {}}
    return render(request, "briefing/translations.html", said, status=422 if refused else 200)


@require_POST
def approve_text(request: PersonRequest, pk: UUID) -> HttpResponse:
    text = _text(request, pk)
    try:
        actions.approve(text, read_sha256=request.POST.get("read_sha256", ""), act=act_of(request))
    except CannotBe as problem:
        return _refused(request, text, problem)
    return redirect(_place_of(text))


@require_POST
def take_text_back(request: PersonRequest, pk: UUID) -> HttpResponse:
    text = _text(request, pk)
    try:
        actions.take_back(text, act=act_of(request))
    except CannotBe as problem:
        return _refused(request, text, problem)
    return redirect(_place_of(text))


def _text(request: PersonRequest, pk: UUID) -> TopicText:
    """A text belongs to no branch: only the right decides."""
    require_right(request.user, Right.SET_UP)
    return get_object_or_404(TopicText.objects.select_related("topic__station__layout"), pk=pk)


def _refused(request: PersonRequest, text: TopicText, problem: CannotBe) -> HttpResponse:
    refused: dict[str, object] = {"text": text.pk, "sentence": problem.sentence}
    return _side_by_side(request, text.topic.station.layout, BY_CODE[text.language], refused)


def _place_of(text: TopicText) -> str:
    page = reverse("translations", args=[text.topic.station.layout.code, text.language])
    return f"{page}#text-{text.pk}"
