"""What is settled is opened again, and priced with the difference."""

from uuid import UUID

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from handover.acting import CannotBe
from handover.counter.actions import reopen
from handover.counter.fetching import place_of, statement_of
from handover.counter.forms import text_of
from handover.counter.models import Reopening
from handover.counter.views.acting import acted, typed
from handover.statement.models import Statement
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require


@require_http_methods(["GET", "HEAD", "POST"])
def reopen_statement(request: PersonRequest, pk: UUID) -> HttpResponse:
    statement = statement_of(request.user, pk)
    require(request.user, Right.REOPEN, statement.rental.branch_id)
    if request.method != "POST":
        return _shown(request, statement)
    cause, words = text_of(request, "cause"), text_of(request, "words")
    with transaction.atomic():
        problem = acted(request, statement.rental, lambda act: reopen(statement, cause=cause, words=words, act=act))
    return _shown(request, statement, problem) if problem else redirect("statement", statement.rental_id)


def _shown(request: PersonRequest, statement: Statement, problem: CannotBe | None = None) -> HttpResponse:
    with in_zone_of(statement.rental.branch):
        said = {
            "place": place_of(statement.rental), "statement": statement, "rental": statement.rental,
            "causes": Reopening.Cause.choices, "problem": problem, "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "counter/reopen.html", said, status=422 if problem else 200)
