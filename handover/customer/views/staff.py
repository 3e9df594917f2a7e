"""The customer's link at the desk: made, shown as a code and as text, sent, withdrawn; and the photos they sent."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from handover.acting import CannotBe
from handover.customer.actions import make_link, revoke_link, send_link
from handover.customer.models import CustomerLink, NoticedPhoto
from handover.customer.staff import link_page
from handover.keys import act_of
from handover.rental.models import Rental
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped
from shared.files.store import read

CACHED = "private, max-age=86400"


@never_cache
@require_safe
def links(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _shown(request, _rental(request, pk, Right.SEE))


def _rental(request: PersonRequest, pk: UUID, right: Right) -> Rental:
    row = get_object_or_404(scoped(Rental.objects.select_related("branch", "customer"), request.user), pk=pk)
    require(request.user, right, row.branch_id)
    return row


def _shown(
    request: PersonRequest, rental: Rental, problem: CannotBe | None = None, *, at: UUID | None = None
) -> HttpResponse:  # fmt: skip
    """`at` is the link whose address was refused."""
    with in_zone_of(rental.branch):
        unit = rental.legs.select_related("unit").latest("number").unit
        said = {
            "page": link_page(rental, request.user, now=timezone.now()), "rental": rental, "unit": unit,
            "problem": problem, "problem_at": at, "typed": request.POST,
        }  # fmt: skip
        return render(request, "customer/links.html", said, status=422 if problem else 200)


@require_POST
def make(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = _rental(request, pk, Right.SETTLE)
    try:
        make_link(rental, act=act_of(request))
    except CannotBe as problem:
        return _shown(request, rental, problem)
    return redirect("customer-links", rental.pk)


def _link(request: PersonRequest, pk: UUID) -> CustomerLink:
    rows = CustomerLink.objects.select_related("rental__branch", "rental__customer")
    row = get_object_or_404(scoped(rows, request.user, "rental__branch"), pk=pk)
    require(request.user, Right.SETTLE, row.rental.branch_id)
    return row


@require_POST
def revoke(request: PersonRequest, pk: UUID) -> HttpResponse:
    link = _link(request, pk)
    try:
        revoke_link(link, act=act_of(request))
    except CannotBe as problem:
        return _shown(request, link.rental, problem)
    return redirect("customer-links", link.rental_id)


@require_POST
def send(request: PersonRequest, pk: UUID) -> HttpResponse:
    link = _link(request, pk)
    try:
        send_link(link, to=request.POST.get("to", ""), act=act_of(request))
    except CannotBe as problem:
        return _shown(request, link.rental, problem, at=link.pk)
    return redirect("customer-links", link.rental_id)


@require_safe
def noticed_photo(request: PersonRequest, pk: UUID) -> HttpResponse:
    rows = scoped(NoticedPhoto.objects.all(), request.user, "noticed__rental__branch")
    row = get_object_or_404(rows, pk=pk)
    return HttpResponse(read(row.display), content_type="image/jpeg", headers={"Cache-Control": CACHED})
