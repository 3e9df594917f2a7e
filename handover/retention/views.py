"""Retention of a branch; a person's data, held back, copied and erased."""

from uuid import UUID

from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from fleet.models import Branch
from handover.acting import CannotBe
from handover.counter.forms import day_of, text_of
from handover.keys import act_of
from handover.rental.models import Customer, Rental
from handover.retention.actions import erase_person, lift_hold, place_hold, set_terms
from handover.retention.erasing.copies import PricedOtherwise
from handover.retention.holdings import person_of
from handover.retention.kinds import Kind
from handover.retention.models import LegalHold
from handover.retention.pages import person_page, retention_page
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped


@require_safe
def retention(request: PersonRequest, code: str) -> HttpResponse:
    return _retention(request, _branch(request, code, Right.VERIFY))


def _branch(request: PersonRequest, code: str, right: Right) -> Branch:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, right, branch.pk)
    return branch


def _retention(request: PersonRequest, branch: Branch, problem: CannotBe | None = None) -> HttpResponse:
    with in_zone_of(branch):
        page = retention_page(branch, request.user, request.POST.dict() if problem else {})
        said = {"page": page, "branch": branch, "problem": problem}
        return render(request, "retention/retention.html", said, status=422 if problem else 200)


@require_POST
def set_days(request: PersonRequest, code: str) -> HttpResponse:
    branch = _branch(request, code, Right.PEOPLE)
    try:
        typed = {kind: request.POST[kind.value] for kind in Kind if kind.value in request.POST}
        set_terms(branch, typed, act=act_of(request))
    except CannotBe as problem:
        return _retention(request, branch, problem)
    return redirect("retention", branch.code)


@never_cache
@require_safe
def person(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _person(request, _customer(request, pk))


def _customer(request: PersonRequest, pk: UUID) -> Customer:
    """Raises Http404 for one who never rented at a branch of this person."""
    rentals = scoped(Rental.objects.filter(customer=pk), request.user).select_related("customer")
    row = rentals.first()
    if row is None:
        raise Http404
    require(request.user, Right.VERIFY, row.branch_id)
    return row.customer


def _person(
    request: PersonRequest, customer: Customer, problem: CannotBe | None = None, *, part: str = ""
) -> HttpResponse:  # fmt: skip
    """`part` is the rental whose hold was refused, or empty."""
    branch = customer.rentals.select_related("branch").latest("planned_out_at").branch
    with in_zone_of(branch):
        page = person_page(customer, now=timezone.now())
        said = {"page": page, "branch": branch, "problem": problem, "part": part, "typed": request.POST}
        return render(request, "retention/person.html", said, status=422 if problem else 200)


@never_cache
@require_safe
def person_json(request: PersonRequest, pk: UUID) -> HttpResponse:
    customer = _customer(request, pk)
    response = JsonResponse(person_of(customer).as_json(), json_dumps_params={"indent": 2, "ensure_ascii": False})
    response["Content-Disposition"] = f'attachment; filename="person-{str(customer.pk)[:8]}.json"'
    return response


@require_POST
def erase(request: PersonRequest, pk: UUID) -> HttpResponse:
    customer = _customer(request, pk)
    try:
        erase_person(customer, act=act_of(request))
    except CannotBe as problem:
        return _person(request, customer, problem)
    except PricedOtherwise as problem:
        return _person(request, customer, CannotBe(str(problem)))
    return redirect("person-data", customer.pk)


@require_POST
def hold(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = get_object_or_404(scoped(Rental.objects.select_related("branch", "customer"), request.user), pk=pk)
    require(request.user, Right.VERIFY, rental.branch_id)
    try:
        place_hold(rental, reason=text_of(request, "reason"), until=day_of(request, "until"), act=act_of(request))
    except CannotBe as problem:
        return _person(request, rental.customer, problem, part=str(rental.pk))
    return redirect("person-data", rental.customer_id)


@require_POST
def lift(request: PersonRequest, pk: UUID) -> HttpResponse:
    rows = scoped(LegalHold.objects.select_related("rental__customer"), request.user, "rental__branch")
    row = get_object_or_404(rows, pk=pk)
    require(request.user, Right.VERIFY, row.rental.branch_id)
    try:
        lift_hold(row, act=act_of(request))
    except CannotBe as problem:
        return _person(request, row.rental.customer, problem, part=str(row.rental_id))
    return redirect("person-data", row.rental.customer_id)
