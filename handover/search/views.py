"""The search page, what is found as a download, and the views that people save."""

from urllib.parse import urlencode
from uuid import UUID

from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from fleet.models import Branch
from handover.acting import CannotBe
from handover.insight.export import TYPES
from handover.keys import posted_key
from handover.search.asking import NARROWS, STATES, Asked, asked_of, kinds_for
from handover.search.export import as_file
from handover.search.page import shown
from handover.search.queries import first_of_each, page_of
from handover.search.saving import SHARES, keep_view, query_of, remove_view, rename_view, shared_branch, views_of
from handover.search.sources import KINDS
from handover.zone import today_at
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require_right, scoped
from shared.ids import uuid7


def _own(request: PersonRequest) -> list[Branch]:
    """The person's branches. Raises NotAllowed for who may see none, Http404 for who is posted to none."""
    require_right(request.user, Right.SEE)
    own = list(scoped(Branch.objects.all(), request.user, path=""))
    if not own:
        raise Http404
    return own


def _asked(request: PersonRequest, own: list[Branch], said: dict[str, str]) -> Asked:
    """Raises CannotBe for what cannot be looked for, Http404 for another's branch and a kind that is not there."""
    try:
        return asked_of(said, request.user, own, today=today_at(own[0]))
    except LookupError as nothing:
        raise Http404 from nothing


@require_safe
def search(request: PersonRequest) -> HttpResponse:
    own = _own(request)
    try:
        asked = _asked(request, own, request.GET.dict())
    except CannotBe as problem:
        return _shown(request, own, problem=problem)
    return _shown(request, own, asked=asked)


def _shown(
    request: PersonRequest, own: list[Branch], *, asked: Asked | None = None, problem: CannotBe | None = None,
    naming: CannotBe | None = None,
) -> HttpResponse:  # fmt: skip
    """`problem` is with what is asked, `naming` with the name of a view."""
    views, may_share = list(views_of(request.user)), request.user.may(SHARES)
    sent = request.POST if request.method == "POST" else request.GET
    context = {
        "asked": asked, "problem": problem, "naming": naming, "own": own, "states": STATES, "key": uuid7(),
        "kinds": [(kind.value, KINDS[kind]) for kind in kinds_for(request.user)],
        "typed": {name: sent.get(name, "")[:1000].replace("\0", "") for name in ("q", *NARROWS, "name", "share")},
        "groups": _groups(request, asked), "later": "after" in request.GET,
        "views": [(view, urlencode(query_of(view))) for view in views],
        "changeable": [view for view in views if may_share or not view.branch_id],
        "may_share": may_share, "forms": TYPES,
    }  # fmt: skip
    return render(request, "search/search.html", context, status=422 if problem or naming else 200)


def _groups(request: PersonRequest, asked: Asked | None) -> list[object]:
    if asked is None or asked.is_empty:
        return []
    if asked.kind:
        groups = [page_of(asked, request.user, asked.kind, after=_after(request))]
    else:
        groups = first_of_each(asked, request.user)
    return [shown(group, asked) for group in groups if group.rows]


def _after(request: PersonRequest) -> bytes:
    """The key on which the page before ended; from the beginning where it is none."""
    try:
        return bytes.fromhex(request.GET.get("after", ""))
    except ValueError:
        return b""


@require_safe
def export(request: PersonRequest, form: str) -> HttpResponse | FileResponse:
    """All of it, and not only the first of each kind."""
    own = _own(request)
    try:
        asked = _asked(request, own, request.GET.dict())
        if asked.is_empty:
            raise CannotBe(_("Nothing is looked for, so there is nothing to take along."), "q")
    except CannotBe as problem:
        return _shown(request, own, problem=problem)
    name = f"search-{timezone.now():%Y-%m-%d-%H%M}.{form}"
    file = as_file(asked, request.user, form)
    answer = FileResponse(file, as_attachment=True, filename=name, content_type=TYPES[form])
    answer["Cache-Control"] = "no-store"
    return answer


@require_POST
def keep(request: PersonRequest) -> HttpResponse:
    own, asked = _own(request), None
    try:
        asked = _asked(request, own, {name: request.POST.get(name, "") for name in ("q", *NARROWS)})
        branch = _shared(request, own)
        keep_view(asked, key=posted_key(request), name=request.POST.get("name", ""), branch=branch, by=request.user)
    except CannotBe as problem:
        is_name = problem.field in {"name", ""}
        return _shown(
            request, own, asked=asked, problem=None if is_name else problem, naming=problem if is_name else None
        )
    return redirect(f"{reverse('search')}?{asked.query}")


def _shared(request: PersonRequest, own: list[Branch]) -> Branch | None:
    try:
        return shared_branch(request.POST.get("share", ""), own)
    except LookupError as nothing:
        raise Http404 from nothing


@require_POST
def rename(request: PersonRequest, pk: UUID) -> HttpResponse:
    own = _own(request)
    view = get_object_or_404(views_of(request.user), pk=pk)
    try:
        rename_view(view, name=request.POST.get("name", ""), by=request.user)
    except CannotBe as problem:
        return _shown(request, own, naming=problem)
    return redirect("search")


@require_POST
def remove(request: PersonRequest, pk: UUID) -> HttpResponse:
    _own(request)
    remove_view(get_object_or_404(views_of(request.user), pk=pk), by=request.user)
    return redirect("search")
