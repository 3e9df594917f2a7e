"""The page of a trip, one small form for each event, and the notices that find their own rental."""

from uuid import UUID, uuid5

from django import forms
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from fleet.models import Branch
from handover.acting import Act, CannotBe
from handover.keys import act_of
from handover.photo.taking_in import TakenIn, take_in
from handover.rental.models import Rental
from handover.rental.next_step import walk_address
from handover.trip import pages
from handover.trip.actions import add_trip_photo, confirm_extension, note_notice, tell_of_notice
from handover.trip.forms import NoticeForm, ToldForm
from handover.trip.models import Extension, Notice, Swap, TripEvent, TripPhoto
from handover.trip.queries import rentals_with_trip, trip_page
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped
from shared.files.store import read

CACHED = "private, max-age=86400"


@require_safe
def trip(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _shown(request, _rental(request, pk, Right.SEE))


def _rental(request: PersonRequest, pk: UUID, right: Right) -> Rental:
    row = get_object_or_404(scoped(rentals_with_trip(), request.user), pk=pk)
    require(request.user, right, row.branch_id)
    return row


def _shown(request: PersonRequest, rental: Rental, problem: CannotBe | None = None) -> HttpResponse:
    with in_zone_of(rental.branch):
        may = {"confirm": request.user.may(Right.BOOK), "tell": request.user.may(Right.SETTLE)}
        context = {
            "page": trip_page(rental, request.user), "rental": rental, "may": may, "problem": problem,
            "told": ToldForm(initial={"customer_told_on": timezone.localdate()}),
        }  # fmt: skip
        return render(request, "trip/trip.html", context, status=422 if problem else 200)


def _event(request: PersonRequest, pk: UUID, page: pages.EventPage) -> HttpResponse:
    """Shows the form, or acts on it. What cannot be is said at its field; what was typed stays."""
    rental = _rental(request, pk, page.right)
    with in_zone_of(rental.branch):
        form = page.form(
            request.POST or None, request.FILES or None, rental=rental, by=request.user, initial=page.initial(rental)
        )
        if request.method == "POST" and form.is_valid() and (row := _noted(request, rental, page, form)):
            return redirect(_after(row))
        context = {"form": form, "event": page, "rental": rental}
        return render(request, "trip/event.html", context, status=422 if form.errors else 200)


def _noted(request: PersonRequest, rental: Rental, page: pages.EventPage, form: forms.Form) -> TripEvent | None:
    """None when it cannot be. The photo is looked at before anything is written."""
    try:
        act, photo = act_of(request), _photo(form, rental.branch)
        row = page.do(rental, form, act)
        _keep_photo(row, photo, page.right, act)
    except CannotBe as problem:
        form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)
        return None
    return row


def _photo(form: forms.Form, branch: Branch) -> TakenIn | None:
    sent = form.cleaned_data.get("photo")
    return take_in(sent.read(), zone=branch.zone) if sent else None


def _keep_photo(row: TripEvent, photo: TakenIn | None, right: Right, act: Act) -> None:
    if photo:
        second = Act(by=act.by, at=act.at, key=uuid5(act.key, "photo"), device=act.device)
        add_trip_photo(rental=row.rental, event=row.pk, photo=photo, right=right, act=second)


def _after(row: TripEvent) -> str:
    """A swap goes on with the return walk-round; everything else is seen on the trip's page."""
    if isinstance(row, Swap) and row.rental.state == Rental.State.RETURN:
        return walk_address(row.from_leg.walk_rounds.get(kind="return").pk)
    return redirect("trip", row.rental_id).url


@require_http_methods(["GET", "HEAD", "POST"])
def extension(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.EXTENSION)


@require_http_methods(["GET", "HEAD", "POST"])
def swap(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.SWAP)


@require_http_methods(["GET", "HEAD", "POST"])
def other_unit(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.OTHER_UNIT)


@require_http_methods(["GET", "HEAD", "POST"])
def fault(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.FAULT)


@require_http_methods(["GET", "HEAD", "POST"])
def roadside(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.ROADSIDE)


@require_http_methods(["GET", "HEAD", "POST"])
def receipt(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.RECEIPT)


@require_http_methods(["GET", "HEAD", "POST"])
def wait(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.WAIT)


@require_http_methods(["GET", "HEAD", "POST"])
def stop(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.STOP)


@require_http_methods(["GET", "HEAD", "POST"])
def displaced(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.DISPLACED)


@require_http_methods(["GET", "HEAD", "POST"])
def excess(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _event(request, pk, pages.REDUCTION)


@require_POST
def confirm(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The written confirmation of an extension went out."""
    rows = Extension.objects.select_related("rental__branch", "rental__customer")
    row = get_object_or_404(scoped(rows, request.user, "rental__branch"), pk=pk)
    require(request.user, Right.BOOK, row.rental.branch_id)
    try:
        confirm_extension(extension=row, act=act_of(request))
    except CannotBe as problem:
        return _shown(request, _rental(request, row.rental_id, Right.BOOK), problem)
    return redirect("trip", row.rental_id)


@require_POST
def told(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The customer has a copy of a notice."""
    rows = Notice.objects.select_related("rental__branch")
    row = get_object_or_404(scoped(rows, request.user, "rental__branch"), pk=pk)
    require(request.user, Right.SETTLE, row.rental.branch_id)
    form = ToldForm(request.POST)
    try:
        if not form.is_valid():
            raise CannotBe(str(form.errors["customer_told_on"][0]), "customer_told_on")
        tell_of_notice(notice=row, told_on=form.said(), act=act_of(request))
    except CannotBe as problem:
        return _shown(request, _rental(request, row.rental_id, Right.SETTLE), problem)
    return redirect("trip", row.rental_id)


@require_http_methods(["GET", "HEAD", "POST"])
def rental_notice(request: PersonRequest, pk: UUID) -> HttpResponse:
    """A notice for this rental; the plate that was out last is offered."""
    rental = _rental(request, pk, Right.SETTLE)
    return _notice(request, rental.branch, rental)


@require_http_methods(["GET", "HEAD", "POST"])
def notice(request: PersonRequest, code: str) -> HttpResponse:
    """A notice that came to the branch: plate and time find its rental."""
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, Right.SETTLE, branch.pk)
    return _notice(request, branch, None)


def _notice(request: PersonRequest, branch: Branch, rental: Rental | None) -> HttpResponse:
    with in_zone_of(branch):
        plate = list(rental.legs.all())[-1].unit.plate if rental else ""
        initial = {"plate": plate, "received_on": timezone.localdate()}
        form = NoticeForm(request.POST or None, request.FILES or None, zone=branch.zone, initial=initial)
        if request.method == "POST" and form.is_valid() and (row := _kept_notice(request, branch, form, rental)):
            return redirect("trip", row.rental_id)
        context = {"form": form, "branch": branch, "rental": rental}
        return render(request, "trip/notice.html", context, status=422 if form.errors else 200)


def _kept_notice(request: PersonRequest, branch: Branch, form: NoticeForm, rental: Rental | None) -> Notice | None:
    try:
        act, photo = act_of(request), _photo(form, branch)
        row = note_notice(notice=form.said(), act=act, rental=rental)
        _keep_photo(row, photo, Right.SETTLE, act)
    except CannotBe as problem:
        form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)
        return None
    return row


@require_safe
def photo(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _inline(_photo_of(request, pk).display)


@require_safe
def photo_thumb(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _inline(_photo_of(request, pk).thumb)


def _photo_of(request: PersonRequest, pk: UUID) -> TripPhoto:
    row = get_object_or_404(scoped(TripPhoto.objects.select_related("rental"), request.user, "rental__branch"), pk=pk)
    require(request.user, Right.SEE, row.rental.branch_id)
    return row


def _inline(name: str) -> HttpResponse:
    return HttpResponse(read(name), content_type="image/jpeg", headers={"Cache-Control": CACHED})
