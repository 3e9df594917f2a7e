"""The day board: what goes out and what comes back, each at its time."""

from datetime import date

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from fleet.models import Branch
from handover.board.queries import board_of
from handover.tablet.held import may_settle, with_held
from handover.zone import in_zone_of, today_at
from shared.access.models import Person
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import NotAllowed, require, scoped


@require_safe
def home(request: PersonRequest) -> HttpResponse:
    """Today at the person's first branch."""
    branch = scoped(Branch.objects.all(), request.user, path="").first()
    if branch is None:
        return render(request, "board/no_branch.html", status=403)
    return redirect("day-board", branch.code, today_at(branch))


@require_safe
def day_board(request: PersonRequest, code: str, day: date) -> HttpResponse:
    own = scoped(Branch.objects.all(), request.user, path="")
    branch = get_object_or_404(with_held(own), code=code)
    require(request.user, Right.SEE, branch.pk)
    with in_zone_of(branch):
        board = board_of(branch, day, now=timezone.now())
        context = {
            "board": board,
            "branch": branch,
            "others": own.exclude(pk=branch.pk),
            "may_book": request.user.may(Right.BOOK),
            "may_settle": request.user.may(Right.SETTLE),
            "may_reopen": request.user.may(Right.REOPEN),
            "has_desk": _has_desk(request.user),
            "kept_for_a_person": branch.kept_for_a_person if may_settle(request.user) else 0,
        }
        return render(request, "board/day_board.html", context)


@require_safe
def desk(request: PersonRequest, code: str) -> HttpResponse:
    """What is done sitting down: the ways that the person may go."""
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    if not _has_desk(request.user):
        raise NotAllowed(_("The desk is for managers, coordinators and administrators."))
    context = {
        "branch": branch,
        "may_set_up": request.user.may(Right.SET_UP),
        "may_settle": request.user.may(Right.SETTLE),
        "may_reopen": request.user.may(Right.REOPEN),
        "may_verify": request.user.may(Right.VERIFY),
        "may_hand_over": request.user.may(Right.PICKUP),
        "may_let_in": request.user.may(Right.PEOPLE),
    }
    return render(request, "board/desk.html", context)


def _has_desk(person: Person) -> bool:
    return person.may(Right.SET_UP) or person.may(Right.VERIFY)
