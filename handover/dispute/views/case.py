"""Open disputes of a branch by their deadline, and one of them on one page: evidence, workings, decision."""

from collections.abc import Callable
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from fleet.models import Branch
from handover.acting import Act, CannotBe
from handover.counter.forms import day_of, figure_of, second_person, text_of
from handover.counter.models import Waiver
from handover.counter.views.acting import typed
from handover.dispute.actions import Verdict, decide, hand_on
from handover.dispute.models import Dispute
from handover.dispute.page import dispute_page
from handover.dispute.queries import disputes_in_full, disputes_page
from handover.keys import act_of
from handover.zone import in_zone_of, today_at
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped


@require_safe
def disputes(request: PersonRequest, code: str) -> HttpResponse:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, Right.SEE, branch.pk)
    with in_zone_of(branch):
        page = disputes_page(branch, today=today_at(branch))
        return render(request, "dispute/disputes.html", {"page": page, "branch": branch})


@require_safe
def dispute(request: PersonRequest, pk: UUID) -> HttpResponse:
    return shown(request, dispute_of(request, pk))


def dispute_of(request: PersonRequest, pk: UUID, right: Right = Right.SEE) -> Dispute:
    """Raises Http404 for another branch's, NotAllowed without the right."""
    row = get_object_or_404(scoped(disputes_in_full(), request.user, "rental__branch"), pk=pk)
    require(request.user, right, row.rental.branch_id)
    return row


def shown(request: PersonRequest, row: Dispute, problem: CannotBe | None = None, part: str = "") -> HttpResponse:
    """`part` names the form that a refusal belongs to; it is said above where that form is not on the page any more."""
    branch = row.rental.branch
    with in_zone_of(branch):
        said = {
            "page": dispute_page(row, request.user, today=today_at(branch)), "dispute": row, "rental": row.rental,
            "reasons": Waiver.Reason.choices, "waits": Dispute.Waits.choices, "problem": problem, "part": part,
            "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "dispute/dispute.html", said, status=422 if problem else 200)


@require_POST
def decide_dispute(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = dispute_of(request, pk, Right.REOPEN)

    def do(act: Act) -> None:
        verdict = Verdict(
            outcome=text_of(request, "outcome"), words=text_of(request, "words"),
            left=figure_of(request, "left", "150.00"), reason=text_of(request, "reason"),
        )  # fmt: skip
        decide(row, verdict, act=act, second=second_person(request))

    return _acted(request, row, do, "decide")


@require_POST
def hand_on_dispute(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = dispute_of(request, pk, Right.SETTLE)

    def do(act: Act) -> None:
        hand_on(
            row, waits_for=text_of(request, "waits_for"), words=text_of(request, "asked"),
            answer_by=day_of(request, "answer_by"), act=act,
        )  # fmt: skip

    return _acted(request, row, do, "hand-on")


def _acted(request: PersonRequest, row: Dispute, do: Callable[[Act], None], part: str) -> HttpResponse:
    try:
        do(act_of(request))
    except CannotBe as problem:
        return shown(request, dispute_of(request, row.pk), problem, part)
    return redirect("dispute", row.pk)
