"""What the returns left to do: the branch's board, a unit's jobs, and one job as it is done."""

from collections.abc import Callable
from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from fleet.models import Branch, Unit
from handover.acting import CannotBe
from handover.keys import act_of
from handover.photo.views import CACHED
from handover.rental.models import Rental
from handover.turnaround import closing, making, ready
from handover.turnaround.forms import AddForm, DoneForm, ReasonForm
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.queries import board_of, closed_of, crew_of, open_of
from handover.turnaround.words import title
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped
from shared.files.store import read


def _unit(request: PersonRequest, number: str) -> Unit:
    own = scoped(Unit.objects.select_related("branch"), request.user)
    unit = get_object_or_404(own, number=number)
    require(request.user, Right.SEE, unit.branch_id)
    return unit


def _job(request: PersonRequest, pk: UUID) -> TurnaroundJob:
    rows = TurnaroundJob.objects.select_related("unit__branch", "assigned_to", "closed_by", "fill", "walk__leg__rental")
    found = get_object_or_404(scoped(rows, request.user, "unit__branch"), pk=pk)
    require(request.user, Right.SEE, found.unit.branch_id)
    return found


@require_safe
def board(request: PersonRequest, code: str) -> HttpResponse:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, Right.SEE, branch.pk)
    with in_zone_of(branch):
        page = {"branch": branch, "board": board_of(branch, now=timezone.now())}
        return render(request, "turnaround/board.html", page)


@require_safe
def unit_jobs(request: PersonRequest, number: str) -> HttpResponse:
    return _unit_page(request, _unit(request, number))


def _unit_page(request: PersonRequest, unit: Unit, *, form: AddForm | None = None, problem: str = "") -> HttpResponse:
    with in_zone_of(unit.branch):
        board = board_of(unit.branch, now=timezone.now())
        row = next((each for each in (*board.waited_for, *board.others) if each.unit.pk == unit.pk), None)
        page = {
            "unit": unit,
            "row": row,
            "jobs": [(job, title(job)) for job in open_of([unit]).get(unit.pk, ())],
            "closed": [(job, title(job)) for job in closed_of(unit)],
            "form": form or AddForm(),
            "problem": problem,
            "may_do": request.user.may(Right.TURNAROUND),
            "may_let_go": request.user.may(Right.RELEASE),
        }
        return render(request, "turnaround/unit.html", page, status=422 if problem or (form and form.errors) else 200)


@require_POST
def add(request: PersonRequest, number: str) -> HttpResponse:
    unit = _unit(request, number)
    form = AddForm(request.POST)
    if not form.is_valid():
        return _unit_page(request, unit, form=form)
    try:
        making.add_job(unit, what=form.cleaned_data["what"], act=act_of(request))
    except CannotBe as problem:
        return _unit_page(request, unit, form=form, problem=problem.sentence)
    return redirect("unit-jobs", number)


@require_POST
def let_it_go(request: PersonRequest, number: str, rental_id: UUID) -> HttpResponse:
    unit = _unit(request, number)
    rental = get_object_or_404(scoped(Rental.objects.all(), request.user), pk=rental_id)
    try:
        ready.let_go(unit, rental=rental, reason=request.POST.get("reason", ""), act=act_of(request))
    except CannotBe as problem:
        return _unit_page(request, unit, problem=problem.sentence)
    return redirect("rental", rental.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def job(request: PersonRequest, pk: UUID) -> HttpResponse:
    """Its page; what is posted says that it is done."""
    found = _job(request, pk)
    if request.method != "POST":
        return _job_page(request, found, DoneForm(found))
    form = DoneForm(found, request.POST, request.FILES)
    if not form.is_valid():
        return _job_page(request, found, form)
    try:
        closing.done(found, by=form.done_with(zone=found.unit.branch.zone), act=act_of(request))
    except CannotBe as problem:
        form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)
        return _job_page(request, _job(request, pk), form)
    return redirect("unit-jobs", found.unit.number)


def _job_page(
    request: PersonRequest, found: TurnaroundJob, form: DoneForm, *, aside: ReasonForm | None = None, problem: str = ""
) -> HttpResponse:  # fmt: skip
    with in_zone_of(found.unit.branch):
        page = {
            "job": found,
            "title": title(found),
            "unit": found.unit,
            "form": form,
            "aside": aside or ReasonForm(),
            "problem": problem,
            "crew": crew_of(found.unit.branch),
            "may_do": request.user.may(Right.TURNAROUND),
            "may_set_aside": request.user.may(Right.READY),
        }
        is_refused = bool(problem or form.errors or (aside and aside.errors))
        return render(request, "turnaround/job.html", page, status=422 if is_refused else 200)


@require_POST
def assign_job(request: PersonRequest, pk: UUID) -> HttpResponse:
    found = _job(request, pk)
    name = request.POST.get("to", "")
    to = next((person for person in crew_of(found.unit.branch) if str(person.pk) == name), None)
    return _closed(request, found, lambda: closing.assign(found, to=to, act=act_of(request)), then="job")


@require_POST
def set_aside(request: PersonRequest, pk: UUID) -> HttpResponse:
    found = _job(request, pk)
    aside = ReasonForm(request.POST)
    if not aside.is_valid():
        require(request.user, Right.READY, found.unit.branch_id)
        return _job_page(request, found, DoneForm(found), aside=aside)
    reason = aside.cleaned_data["reason"]
    return _closed(request, found, lambda: closing.not_needed(found, reason=reason, act=act_of(request)))


def _closed(
    request: PersonRequest, found: TurnaroundJob, do: Callable[[], object], *, then: str = "unit-jobs"
) -> HttpResponse:  # fmt: skip
    try:
        do()
    except CannotBe as problem:
        again = _job(request, found.pk)
        return _job_page(request, again, DoneForm(again), problem=problem.sentence)
    return redirect(then, found.pk if then == "job" else found.unit.number)


@require_safe
def photo(request: PersonRequest, pk: UUID) -> HttpResponse:
    found = _job(request, pk)
    if not found.photo:
        raise Http404
    return HttpResponse(read(found.photo), content_type="image/jpeg", headers={"Cache-Control": CACHED})
