"""An objection and how it stands: also when its line is set aside and stands on the statement no more."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from handover.acting import Act, CannotBe
from handover.counter.actions import answer_objection
from handover.counter.fetching import objection_of
from handover.counter.forms import day_of, figure_of, text_of
from handover.counter.models import Objection, ObjectionOutcome
from handover.counter.page.objection import objection_page
from handover.counter.views.acting import acted, typed
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require


@require_http_methods(["GET", "HEAD", "POST"])
def objection(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = objection_of(request.user, pk)
    rental = row.rental
    require(request.user, Right.SETTLE if request.method == "POST" else Right.SEE, rental.branch_id)

    def do(act: Act) -> None:
        answer_objection(
            row, outcome=text_of(request, "outcome"), words=text_of(request, "words"), act=act,
            most=figure_of(request, "most", "140.00"), until=day_of(request, "until"),
        )  # fmt: skip

    if request.method != "POST":
        return _shown(request, row)
    problem = acted(request, rental, do)
    return _shown(request, row, problem) if problem else redirect("statement", rental.pk)


def _shown(request: PersonRequest, row: Objection, problem: CannotBe | None = None) -> HttpResponse:
    with in_zone_of(row.rental.branch):
        page = objection_page(row, request.user)
        said = {
            "page": page, "rental": row.rental, "outcomes": ObjectionOutcome.Outcome.choices, "problem": problem,
            "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "counter/objection.html", said, status=422 if problem else 200)
