"""The page of what is kept for a person."""

from collections.abc import Callable
from dataclasses import replace
from uuid import UUID, uuid5

from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from handover.acting import Act, CannotBe
from handover.keys import act_of
from handover.tablet.held import held_at, may_settle, set_aside, try_again
from handover.tablet.held_page import held_walks
from handover.tablet.models import Receipt
from shared.access.requests import PersonRequest


@require_safe
def held(request: PersonRequest) -> HttpResponse:
    return _shown(request, {})


@require_POST
def try_held_again(request: PersonRequest) -> HttpResponse:
    """One, or all that were told of a walk-round, in the order in which they were told."""
    return _settled(request, lambda receipt, act: try_again(receipt, act=act))


@require_POST
def set_held_aside(request: PersonRequest) -> HttpResponse:
    reason = request.POST.get("reason", "")
    return _settled(request, lambda receipt, act: set_aside(receipt, reason=reason, act=act))


def _settled(request: PersonRequest, do: Callable[[Receipt, Act], Receipt]) -> HttpResponse:
    if not may_settle(request.user):
        raise PermissionDenied(_("Hosts, the return bay and managers look after what is kept for a person."))
    problems: dict[UUID, CannotBe] = {}
    for receipt in held_at(request.user).filter(pk__in=_chosen(request)):
        act = act_of(request)
        try:
            do(receipt, replace(act, key=uuid5(act.key, str(receipt.pk))))
        except CannotBe as problem:
            problems[receipt.pk] = problem
    return _shown(request, problems) if problems else redirect("held-entries")


def _chosen(request: PersonRequest) -> list[UUID]:
    """What is no key chooses nothing."""
    chosen = []
    for text in request.POST.getlist("receipt"):
        try:
            chosen.append(UUID(text))
        except ValueError:
            continue
    return chosen


def _shown(request: PersonRequest, problems: dict[UUID, CannotBe]) -> HttpResponse:
    walks = held_walks(request.user)
    for row in (row for walk in walks for row in walk.rows):
        problem = problems.get(row.receipt.pk)
        row.receipt.sentence = problem.sentence if problem else row.receipt.sentence
    said = {"walks": walks, "problems": problems, "typed": request.POST.dict()}
    return render(request, "tablet/held.html", said, status=422 if problems else 200)
