"""The tanks of a branch, and one of them: its curve being learned, its receipts, and what counts from now on."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from consumables.models import Fill
from fleet.models import Branch, Unit
from handover.acting import CannotBe
from handover.keys import act_of
from handover.photo.views import CACHED
from handover.tank.actions import record_fill, use_curve, use_straight_line
from handover.tank.forms import FillForm
from handover.tank.page import doubts_of, standing_of, tank_page
from handover.tank.queries import Tank, tanks_of
from handover.zone import in_zone_of, today_at
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped
from shared.files.store import read


def _unit(request: PersonRequest, number: str, right: Right = Right.SEE) -> Unit:
    own = scoped(Unit.objects.select_related("branch"), request.user)
    unit = get_object_or_404(own, number=number)
    require(request.user, right, unit.branch_id)
    return unit


def _tank(unit: Unit, code: str) -> Tank:
    """Of this instrument; the first, which is the fuel, where none is named."""
    tanks = tanks_of(Unit.objects.filter(pk=unit.pk), today=today_at(unit.branch))
    found = next((tank for tank in tanks if code in {"", tank.instrument.code}), None)
    if found is None:
        raise Http404
    return found


@require_safe
def tanks(request: PersonRequest, code: str) -> HttpResponse:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, Right.SEE, branch.pk)
    with in_zone_of(branch):
        found = tanks_of(Unit.objects.filter(branch=branch, retired=False), today=today_at(branch))
        rows = [(tank, standing_of(tank), doubts_of(tank)) for tank in found if tank.fills]
        silent = [tank for tank in found if not tank.fills]
        return render(request, "tank/tanks.html", {"branch": branch, "rows": rows, "silent": silent})


@require_safe
def tank(request: PersonRequest, number: str, code: str = "") -> HttpResponse:
    unit = _unit(request, number)
    return _page(request, unit, code, FillForm())


def _page(request: HttpRequest, unit: Unit, code: str, form: FillForm, *, problem: str = "") -> HttpResponse:
    with in_zone_of(unit.branch):
        context = {
            "page": tank_page(_tank(unit, code)),
            "unit": unit,
            "branch": unit.branch,
            "form": form,
            "problem": problem,
            "may_set_up": request.user.is_authenticated and request.user.may(Right.SET_UP),
        }
        return render(request, "tank/tank.html", context, status=422 if problem or form.errors else 200)


@require_POST
def fill(request: PersonRequest, number: str, code: str) -> HttpResponse:
    unit = _unit(request, number)
    form = FillForm(request.POST, request.FILES)
    instrument = _tank(unit, code).instrument
    if not form.is_valid():
        return _page(request, unit, code, form)
    try:
        photo = form.taken(zone=unit.branch.zone)
        record_fill(unit=unit, instrument=instrument, receipt=form.receipt(), act=act_of(request), photo=photo)
    except CannotBe as problem:
        form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)
        return _page(request, unit, code, form, problem=problem.sentence)
    return redirect("tank-of", number, code)


@require_POST
def use(request: PersonRequest, number: str, code: str) -> HttpResponse:
    unit = _unit(request, number, Right.SET_UP)
    _tank(unit, code)
    seen = request.POST.get("seen", "")
    try:
        use_curve(unit=unit, code=code, seen=int(seen) if seen.isdecimal() else 0, act=act_of(request))
    except CannotBe as problem:
        return _page(request, unit, code, FillForm(), problem=problem.sentence)
    return redirect("tank-of", number, code)


@require_POST
def straight(request: PersonRequest, number: str, code: str) -> HttpResponse:
    unit = _unit(request, number, Right.SET_UP)
    _tank(unit, code)
    try:
        use_straight_line(unit=unit, code=code, act=act_of(request))
    except CannotBe as problem:
        return _page(request, unit, code, FillForm(), problem=problem.sentence)
    return redirect("tank-of", number, code)


@require_safe
def receipt(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The photo of a pump's receipt."""
    rows = scoped(Fill.objects.exclude(receipt_photo=""), request.user, "unit__branch")
    row = get_object_or_404(rows.select_related("unit"), pk=pk)
    require(request.user, Right.SEE, row.unit.branch_id)
    return HttpResponse(read(row.receipt_photo), content_type="image/jpeg", headers={"Cache-Control": CACHED})
