"""A credit is given, and the statement priced with it."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from handover.acting import Act, CannotBe
from handover.counter.actions import give_credit
from handover.counter.fetching import place_of, statement_of
from handover.counter.forms import figure_of, second_person, text_of
from handover.counter.models import Credit
from handover.counter.views.acting import acted, typed
from handover.statement.models import Statement
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require


@require_http_methods(["GET", "HEAD", "POST"])
def credit(request: PersonRequest, pk: UUID) -> HttpResponse:
    statement = statement_of(request.user, pk)
    require(request.user, Right.WAIVE, statement.rental.branch_id)
    if request.method != "POST":
        return _shown(request, statement)

    def do(act: Act) -> None:
        give_credit(
            statement.rental, kind=text_of(request, "kind"), amount=figure_of(request, "amount", "18.00"),
            words=text_of(request, "words"), act=act, second=second_person(request),
        )  # fmt: skip

    problem = acted(request, statement.rental, do)
    return _shown(request, statement, problem) if problem else redirect("statement", statement.rental_id)


def _shown(request: PersonRequest, statement: Statement, problem: CannotBe | None = None) -> HttpResponse:
    with in_zone_of(statement.rental.branch):
        said = {
            "place": place_of(statement.rental), "statement": statement, "rental": statement.rental,
            "kinds": Credit.Kind.choices, "given": statement.rental.credits.select_related("by", "second"),
            "problem": problem, "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "counter/credit.html", said, status=422 if problem else 200)
