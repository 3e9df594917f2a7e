"""A walk-round is looked through, signed and finished; a held unit is released."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from handover.acting import CannotBe
from handover.keys import act_of
from handover.trip.legs import swap_of
from handover.walkround.fields import fields_of
from handover.walkround.models import WalkRound
from handover.walkround.page.look_through import look_through
from handover.walkround.page.round import station_of_hold
from handover.walkround.page.trouble import Trouble
from handover.walkround.queries import hold_of, seen_of, walk_of
from handover.walkround.told import TOLD, Told
from handover.walkround.views.replying import Part, kept
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest


@require_safe
def sign_walk(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    return _looked_through(request, walk_of(request.user, walk_id))


@require_POST
def remark(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    """What the customer says belongs to what is signed: the digest on the page changes with it."""
    walk = walk_of(request.user, walk_id)
    try:
        TOLD["remark"](walk, Told(act_of(request), fields_of(request)))
    except CannotBe as problem:
        return _looked_through(request, walk, Trouble(problem.sentence, field="text", typed=request.POST.dict()))
    if request.htmx:
        return _looked_through(request, walk)
    return redirect("sign-walk", walk.pk)


@require_POST
def left(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    """The customer does not wait for the end of the return; the walk goes on without them."""
    walk = walk_of(request.user, walk_id)
    try:
        TOLD["left"](walk, Told(act_of(request), fields_of(request)))
    except CannotBe as problem:
        trouble = Trouble(problem.sentence, None, "left", request.POST.dict())
        return _looked_through(request, walk_of(request.user, walk_id), trouble)
    return redirect("sign-walk", walk.pk)


@require_POST
def hand_over(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    return _ended(request, walk_of(request.user, walk_id), "hand-over", "rental")


@require_POST
def take_back(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    """The return ends; what it comes to is priced on the statement. At a swap the other unit comes first."""
    walk = walk_of(request.user, walk_id)
    return _ended(request, walk, "take-back", "rental" if swap_of(walk.leg) else "statement")


def _ended(request: PersonRequest, walk: WalkRound, kind: str, then: str) -> HttpResponse:
    try:
        TOLD[kind](walk, Told(act_of(request), fields_of(request)))
    except CannotBe as problem:
        # The rows are as they were; what the actions set on this object in memory is not.
        walk = walk_of(request.user, walk.pk)
        return _looked_through(request, walk, Trouble(problem.sentence, None, problem.field, request.POST.dict()))
    return redirect(then, walk.leg.rental_id)


@require_POST
def release_hold(request: PersonRequest, hold_id: UUID) -> HttpResponse:
    hold = hold_of(request.user, hold_id)
    return kept(request, hold.walk, Part("release", station_of_hold(hold.walk, hold), "walk/_go.html", "go", hold.pk))


def _looked_through(request: PersonRequest, walk: WalkRound, trouble: Trouble | None = None) -> HttpResponse:
    template = "walk/_said.html" if request.htmx else "walk/sign.html"
    with in_zone_of(walk.leg.rental.branch):
        page = look_through(seen_of(walk, with_other=False), request.user, now=timezone.now(), trouble=trouble)
        return render(request, template, {"page": page}, status=422 if trouble else 200)
