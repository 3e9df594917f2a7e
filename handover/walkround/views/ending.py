"""A walk-round is looked through, signed and finished; a held unit is released."""

from collections.abc import Callable
from uuid import UUID

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from handover.acting import CannotBe
from handover.keys import act_of
from handover.trip.legs import swap_of
from handover.walkround import actions
from handover.walkround.forms import strokes_of
from handover.walkround.models import Hold, WalkRound
from handover.walkround.page.look_through import look_through
from handover.walkround.page.trouble import Trouble
from handover.walkround.queries import hold_of, seen_of, walk_of
from handover.walkround.views.replying import Part, kept
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest

KEYS = {"customer": "key_customer", "staff": "key_staff"}


@require_safe
def sign_walk(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    return _looked_through(request, walk_of(request.user, walk_id))


@require_POST
def remark(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    """What the customer says belongs to what is signed: the digest on the page changes with it."""
    walk = walk_of(request.user, walk_id)
    try:
        actions.remark(walk, text=request.POST.get("text", ""), act=act_of(request))
    except CannotBe as problem:
        return _looked_through(request, walk, Trouble(problem.sentence, field="text", typed=request.POST.dict()))
    if request.htmx:
        return _looked_through(request, walk)
    return redirect("sign-walk", walk.pk)


@require_POST
def hand_over(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    """Both signatures and the end of the pickup, or none of them."""
    walk = walk_of(request.user, walk_id)

    def do() -> None:
        names = {"customer": request.POST.get("name_customer", ""), "staff": str(request.user)}
        for role, key in KEYS.items():
            _sign(request, walk, role, names[role], key)
        actions.finish(walk, act=act_of(request))

    return _ended(request, walk, do, "rental")


def _sign(request: PersonRequest, walk: WalkRound, role: str, name: str, key: str) -> None:
    field = f"strokes_{role}"
    try:
        actions.sign_walk(
            walk, role=role, name=name, strokes=strokes_of(request, field),
            seen_sha256=request.POST.get("seen_sha256", ""), act=act_of(request, key),
        )  # fmt: skip
    except CannotBe as problem:
        raise CannotBe(problem.sentence, f"{problem.field}_{role}") from problem


@require_POST
def take_back(request: PersonRequest, walk_id: UUID) -> HttpResponse:
    """The return ends; what it comes to is priced on the statement. At a swap the other unit comes first."""
    walk = walk_of(request.user, walk_id)
    then = "rental" if swap_of(walk.leg) else "statement"
    return _ended(request, walk, lambda: actions.finish(walk, act=act_of(request)), then)


def _ended(request: PersonRequest, walk: WalkRound, do: Callable[[], object], then: str) -> HttpResponse:
    try:
        with transaction.atomic():
            do()
    except CannotBe as problem:
        # The rows are as they were; what the actions set on this object in memory is not.
        walk = walk_of(request.user, walk.pk)
        return _looked_through(request, walk, Trouble(problem.sentence, None, problem.field, request.POST.dict()))
    return redirect(then, walk.leg.rental_id)


@require_POST
def release_hold(request: PersonRequest, hold_id: UUID) -> HttpResponse:
    hold = hold_of(request.user, hold_id)
    part = Part(_station_number(hold), "walk/_go.html", "go", hold.pk)
    reason = request.POST.get("reason", "")
    return kept(request, hold.walk, part, lambda act: actions.release(hold, reason=reason, act=act))


def _station_number(hold: Hold) -> int:
    asked = hold.answer.item_id
    stations = hold.walk.sheet.data.stations
    return next(station.number for station in stations if any(check.id == asked for check in station.checks))


def _looked_through(request: PersonRequest, walk: WalkRound, trouble: Trouble | None = None) -> HttpResponse:
    template = "walk/_said.html" if request.htmx else "walk/sign.html"
    with in_zone_of(walk.leg.rental.branch):
        page = look_through(seen_of(walk, with_other=False), request.user, now=timezone.now(), trouble=trouble)
        return render(request, template, {"page": page}, status=422 if trouble else 200)
