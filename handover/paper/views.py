"""Numbered sheets of paper for a day without power: printed, keyed in, or said to be lost."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from fleet.models import Branch, Unit
from handover.acting import CannotBe
from handover.keys import act_of
from handover.paper.actions import OnPaper, gone_on_a_lost_sheet, key_in, not_used, print_sheets
from handover.paper.forms import KeyInForm, LostForm, OfALeg, PrintForm
from handover.paper.models import PaperSheet
from handover.paper.queries import sheets_page
from handover.photo.actions import take_in
from handover.rental.models import Rental
from handover.walkround.asking import sheet_of
from handover.walkround.models import WalkRound
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped


def _branch(request: PersonRequest, code: str) -> Branch:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, Right.PICKUP, branch.pk)
    return branch


def _sheet(request: PersonRequest, pk: UUID, right: Right) -> PaperSheet:
    rows = scoped(PaperSheet.objects.select_related("branch", "layout"), request.user)
    sheet = get_object_or_404(rows, pk=pk)
    require(request.user, right, sheet.branch_id)
    return sheet


@require_safe
def sheets(request: PersonRequest, code: str) -> HttpResponse:
    branch = _branch(request, code)
    return _shown(request, branch, PrintForm(branch=branch))


def _shown(request: PersonRequest, branch: Branch, form: PrintForm) -> HttpResponse:
    with in_zone_of(branch):
        context = {"page": sheets_page(branch), "branch": branch, "form": form,
                   "may_lose": request.user.may(Right.REOPEN)}  # fmt: skip
        return render(request, "paper/sheets.html", context, status=422 if form.errors else 200)


@require_POST
def print_blanks(request: PersonRequest, code: str) -> HttpResponse:
    branch = _branch(request, code)
    form = PrintForm(request.POST, branch=branch)
    if form.is_valid():
        said = form.cleaned_data
        try:
            made = print_sheets(branch, said["layout"], many=said["many"], act=act_of(request))
            return redirect("paper-blanks", branch.code, made[0].number, made[-1].number)
        except CannotBe as problem:
            form.add_error(problem.field or None, problem.sentence)
    return _shown(request, branch, form)


@require_safe
def blanks(request: PersonRequest, code: str, first: int, last: int) -> HttpResponse:
    """The sheets themselves, one a page of paper: what a walk-round of the layout asks, with room to write."""
    branch = _branch(request, code)
    rows = list(PaperSheet.objects.filter(branch=branch, number__gte=first, number__lte=last).select_related("layout"))
    units = Unit.objects.filter(branch=branch, layout__in={row.layout_id for row in rows})
    unit = units.select_related("layout", "branch").first()
    if unit is None:
        raise Http404
    with in_zone_of(branch):
        asked = sheet_of(unit, today=timezone.localdate())
        return render(request, "paper/blanks.html", {"sheets": rows, "branch": branch, "asked": asked})


@require_http_methods(["GET", "HEAD", "POST"])
def keyed(request: PersonRequest, pk: UUID) -> HttpResponse:
    sheet = _sheet(request, pk, Right.PICKUP)
    with in_zone_of(sheet.branch):
        form = KeyInForm(request.POST or None, request.FILES or None, branch=sheet.branch)
        if request.method == "POST" and form.is_valid() and (walk := _keyed(request, sheet, form)):
            return redirect("walk", walk.pk)
        return _asked(request, sheet, form, "paper/key_in.html")


def _keyed(request: PersonRequest, sheet: PaperSheet, form: KeyInForm) -> WalkRound | None:
    said = form.cleaned_data
    leg = form.legs[said["leg"]]
    kind = WalkRound.Kind.RETURN if leg.rental.state == Rental.State.OUT else WalkRound.Kind.PICKUP
    try:
        scan = take_in(said["scan"].read(), zone=sheet.branch.zone)
        on_paper = OnPaper(said["begun_at"], said["gone_at"], scan)
        return key_in(sheet, leg, kind=kind, said=on_paper, act=act_of(request))
    except CannotBe as problem:
        _say(form, problem)
        return None


def _say(form: OfALeg, problem: CannotBe) -> None:
    form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)


def _asked(request: PersonRequest, sheet: PaperSheet, form: OfALeg, template: str) -> HttpResponse:
    context = {"sheet": sheet, "branch": sheet.branch, "form": form}
    return render(request, template, context, status=422 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def lost(request: PersonRequest, pk: UUID) -> HttpResponse:
    sheet = _sheet(request, pk, Right.REOPEN)
    with in_zone_of(sheet.branch):
        form = LostForm(request.POST or None, branch=sheet.branch)
        if request.method == "POST" and form.is_valid() and _lost(request, sheet, form):
            return redirect("paper-sheets", sheet.branch.code)
        return _asked(request, sheet, form, "paper/lost.html")


def _lost(request: PersonRequest, sheet: PaperSheet, form: LostForm) -> bool:
    said = form.cleaned_data
    try:
        act = act_of(request)
        if said["leg"]:
            leg, left_at = form.legs[said["leg"]], said["left_at"]
            gone_on_a_lost_sheet(sheet, leg, left_at=left_at, words=said["words"], act=act)
        else:
            not_used(sheet, words=said["words"], act=act)
    except CannotBe as problem:
        _say(form, problem)
        return False
    return True
