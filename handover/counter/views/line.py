"""One line of a statement: object to it, take something off, or put the reading right that it rests on."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from handover.acting import Act, CannotBe
from handover.counter.actions import object_to_line, waive, withdraw_waiver
from handover.counter.actions.waiving import Reduction
from handover.counter.fetching import statement_of, waiver_of
from handover.counter.forms import figure_of, second_person, text_of
from handover.counter.models import Waiver
from handover.counter.page.line import line_page
from handover.counter.views.acting import acted, typed
from handover.statement.models import Statement
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require


@require_safe
def line(request: PersonRequest, pk: UUID, number: int) -> HttpResponse:
    statement = statement_of(request.user, pk)
    require(request.user, Right.SEE, statement.rental.branch_id)
    return line_shown(request, statement, number)


def line_shown(
    request: PersonRequest, statement: Statement, number: int, problem: CannotBe | None = None, part: str = ""
) -> HttpResponse:
    """`part` names the form that a refusal belongs to."""
    with in_zone_of(statement.rental.branch):
        page = line_page(statement, number, request.user)
        if page is None:
            raise Http404
        said = {
            "page": page, "rental": page.rental, "reasons": Waiver.Reason.choices,
            "problem": problem, "part": part, "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "counter/line.html", said, status=422 if problem else 200)


@require_POST
def waive_line(request: PersonRequest, pk: UUID, number: int) -> HttpResponse:
    statement = statement_of(request.user, pk)
    require(request.user, Right.WAIVE, statement.rental.branch_id)
    code, ref, _ = named(request, statement, number)

    def do(act: Act) -> None:
        reduction = Reduction(
            reason=text_of(request, "reason"), words=text_of(request, "words"),
            percent=figure_of(request, "percent", "50"), amount=figure_of(request, "amount", "18.00"),
        )  # fmt: skip
        second = second_person(request)
        waive(statement.rental, code=code, ref=ref, reduction=reduction, act=act, second=second)

    if problem := acted(request, statement.rental, do):
        return line_shown(request, statement, number, problem, "waive")
    return redirect("statement", statement.rental_id)


def named(request: PersonRequest, statement: Statement, number: int) -> tuple[str, str, str]:
    """Code, ref and title of the line. Raises Http404."""
    with in_zone_of(statement.rental.branch):
        page = line_page(statement, number, request.user)
    if page is None:
        raise Http404
    return page.line.code, page.line.ref, page.line.title


@require_POST
def object_line(request: PersonRequest, pk: UUID, number: int) -> HttpResponse:
    statement = statement_of(request.user, pk)
    require(request.user, Right.SETTLE, statement.rental.branch_id)
    code, ref, title = named(request, statement, number)

    def do(act: Act) -> None:
        object_to_line(statement, code=code, ref=ref, title=title, words=text_of(request, "words"), act=act)

    if problem := acted(request, statement.rental, do):
        return line_shown(request, statement, number, problem, "object")
    return redirect("line", statement.pk, number)


@require_POST
def withdraw(request: PersonRequest, pk: UUID, number: int, waiver: UUID) -> HttpResponse:
    statement, row = statement_of(request.user, pk), waiver_of(request.user, waiver)
    if row.rental_id != statement.rental_id:
        raise Http404
    require(request.user, Right.WAIVE, statement.rental.branch_id)
    problem = acted(request, row.rental, lambda act: withdraw_waiver(row, words=text_of(request, "words"), act=act))
    if problem:
        return line_shown(request, statement, number, problem, f"waiver-{row.pk.hex}")
    return redirect("statement", statement.rental_id)
