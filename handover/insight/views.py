"""The manager's view: chapters of tables, the auditor's questions, the rentals behind a row, every table to take."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import IO, Any

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from fleet.models import Branch
from handover.acting import CannotBe
from handover.insight.asking import USUAL_DAYS, Asked, asked_of
from handover.insight.export import TYPES, as_csv, as_json, as_xlsx
from handover.insight.page import rentals_page, shown
from handover.insight.registry import CHAPTERS, QUESTIONS, TABLES, Build
from handover.insight.table import Table
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require_right, scoped


def _own(request: PersonRequest) -> list[Branch]:
    """The person's branches. Raises NotAllowed below a manager, Http404 for who is posted to none."""
    require_right(request.user, Right.VERIFY)
    own = list(scoped(Branch.objects.all(), request.user, path=""))
    if not own:
        raise Http404
    return own


def _asked(request: PersonRequest, own: list[Branch]) -> Asked:
    """Raises CannotBe for a period that cannot be, Http404 for another's branch."""
    try:
        return asked_of(request.GET.dict(), own, now=timezone.now())
    except LookupError as nothing:
        raise Http404 from nothing


def _page(request: PersonRequest, template: str, said: Mapping[str, Any], *, tables: tuple[Build, ...]) -> HttpResponse:
    own = _own(request)
    problem = None
    try:
        asked = _asked(request, own)
    except CannotBe as cannot:
        problem, tables = cannot, ()
        asked = asked_of({}, own, now=timezone.now())
    typed = asked.query | {name: text for name, text in request.GET.items() if problem and name in asked.query}
    context = {
        "asked": asked, "own": own, "problem": problem, "typed": typed, "chapters": CHAPTERS, "usual_days": USUAL_DAYS,
        "tables": [shown(build, asked) for build in tables], **said,
    }  # fmt: skip
    return render(request, template, context, status=422 if problem else 200)


@require_safe
def insight(request: PersonRequest) -> HttpResponse:
    return _page(request, "insight/insight.html", {"questions": len(QUESTIONS)}, tables=())


@require_safe
def chapter(request: PersonRequest, key: str) -> HttpResponse:
    require_right(request.user, Right.VERIFY)
    found = next((each for each in CHAPTERS if each.key == key), None)
    if found is None:
        raise Http404
    return _page(request, "insight/chapter.html", {"chapter": found}, tables=found.builds)


@require_safe
def audit(request: PersonRequest) -> HttpResponse:
    return _page(request, "insight/audit.html", {"questions": QUESTIONS}, tables=())


@require_safe
def answer(request: PersonRequest, number: int) -> HttpResponse:
    require_right(request.user, Right.VERIFY)
    found = next((each for each in QUESTIONS if each.number == number), None)
    if found is None:
        raise Http404
    return _page(request, "insight/answer.html", {"question": found}, tables=found.builds)


def _build(request: PersonRequest, key: str) -> Build:
    require_right(request.user, Right.VERIFY)
    if key not in TABLES:
        raise Http404
    return TABLES[key]


@require_safe
def rentals(request: PersonRequest, key: str) -> HttpResponse:
    """Which rentals a figure rests on."""
    build = _build(request, key)
    try:
        asked = _asked(request, _own(request))
        page = rentals_page(build, asked, request.GET.get("row", ""))
    except (CannotBe, LookupError) as nothing:
        raise Http404 from nothing
    return render(request, "insight/rentals.html", {"page": page, "asked": asked, "key": key})


@require_safe
def export(request: PersonRequest, key: str, form: str) -> HttpResponse:
    build = _build(request, key)
    try:
        asked = _asked(request, _own(request))
    except CannotBe as cannot:
        raise Http404 from cannot
    table = build(asked)
    made: dict[str, Callable[[Table], str | IO[bytes]]] = {
        "csv": as_csv, "xlsx": partial(as_xlsx, said=asked.query), "json": partial(as_json, said=asked.query),
    }  # fmt: skip
    answer = HttpResponse(made[form](table), content_type=TYPES[form])
    answer["Content-Disposition"] = f'attachment; filename="{key}-{asked.code}-{asked.start}-{asked.end}.{form}"'
    answer["Cache-Control"] = "no-store"
    return answer
