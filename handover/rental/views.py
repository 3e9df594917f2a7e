"""The page of a rental, a new booking by hand, and the beginning of both walk-rounds."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from fleet.models import Branch
from handover.acting import CannotBe
from handover.keys import act_of, chosen
from handover.rental.actions import book
from handover.rental.forms import BookingForm
from handover.rental.models import Rental
from handover.rental.next_step import walk_address
from handover.rental.queries import rental_page, rentals_in_full
from handover.rental.return_form import ReturnForm
from handover.rental.selling import sell_extra
from handover.walkround.actions import start_walk
from handover.walkround.models import WalkRound
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped


@require_safe
def rental(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk)
    now = timezone.now()
    return _shown(request, row, ReturnForm(initial={"arrived_at": now, "keys_found_at": now}))


def _rental(request: PersonRequest, pk: UUID, right: Right = Right.SEE) -> Rental:
    row = get_object_or_404(scoped(rentals_in_full(), request.user), pk=pk)
    require(request.user, right, row.branch_id)
    return row


def _shown(
    request: PersonRequest, row: Rental, form: ReturnForm, *, problem: CannotBe | None = None, status: int = 200
) -> HttpResponse:  # fmt: skip
    with in_zone_of(row.branch):
        context = {
            "page": rental_page(row, request.user), "rental": row, "form": form, "problem": problem,
            "may_verify": request.user.may(Right.VERIFY),
        }  # fmt: skip
        return render(request, "rental/rental.html", context, status=status)


@require_POST
def begin_pickup(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk, Right.PICKUP)
    try:
        walk = start_walk(
            list(row.legs.all())[-1], kind=WalkRound.Kind.PICKUP, plate=request.POST.get("plate", ""),
            act=act_of(request),
        )  # fmt: skip
    except CannotBe as problem:
        return _refused(request, row, ReturnForm(request.POST), problem)
    return redirect(walk_address(walk.pk))


@require_POST
def begin_return(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk, Right.RETURN)
    with in_zone_of(row.branch):
        form = ReturnForm(request.POST)
        if not form.is_valid():
            return _shown(request, row, form, status=422)
        try:
            walk = start_walk(
                list(row.legs.all())[-1], kind=WalkRound.Kind.RETURN, act=act_of(request), **form.cleaned_data
            )
        except CannotBe as problem:
            return _refused(request, row, form, problem)
    return redirect(walk_address(walk.pk))


def _refused(request: PersonRequest, row: Rental, form: ReturnForm, problem: CannotBe) -> HttpResponse:
    """At its field where it has one, else in place of the way on."""
    if problem.field in form.fields:
        form.add_error(problem.field, problem.sentence)
        return _shown(request, row, form, status=422)
    return _shown(request, row, form, problem=problem, status=422)


@require_POST
def sell(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk, Right.BOOK)
    try:
        sell_extra(row, offer=chosen(request, "offer"), act=act_of(request))
    except CannotBe as problem:
        return _shown(request, row, ReturnForm(), problem=problem, status=422)
    return redirect("rental", row.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def new_booking(request: PersonRequest, code: str) -> HttpResponse:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, Right.BOOK, branch.pk)
    with in_zone_of(branch):
        form = BookingForm(request.POST or None, branch=branch)
        if request.method == "POST" and form.is_valid() and (row := _booked(request, branch, form)):
            return redirect("rental", row.pk)
        status = 422 if form.errors else 200
        return render(request, "rental/new_booking.html", {"form": form, "branch": branch}, status=status)


def _booked(request: PersonRequest, branch: Branch, form: BookingForm) -> Rental | None:
    """None when it cannot be; the sentence then stands at its field."""
    try:
        act = act_of(request)
        return book(branch=branch, details=form.details(at=act.at), act=act)
    except CannotBe as problem:
        form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)
        return None
