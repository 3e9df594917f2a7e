"""The statement at the counter: priced, looked through with the customer, signed or left unsigned, settled."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from handover.acting import CannotBe
from handover.counter.panel import panel_of
from handover.customer.actions import settle_and_tell
from handover.keys import act_of
from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.actions import draw_up, leave_unsigned, sign_statement
from handover.statement.models import Statement
from handover.statement.queries import rentals_to_settle, statement_page, statements_to_sign
from handover.walkround.fields import fields_of
from handover.walkround.forms import strokes_of
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped


@require_safe
def statement(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = get_object_or_404(scoped(rentals_to_settle(), request.user), pk=pk)
    require(request.user, Right.SEE, rental.branch_id)
    return _shown(request, rental)


@require_safe
def statement_version(request: PersonRequest, pk: UUID, version: int) -> HttpResponse:
    """An earlier version, as it was."""
    rental = get_object_or_404(scoped(rentals_to_settle(), request.user), pk=pk)
    require(request.user, Right.SEE, rental.branch_id)
    if not rental.statements.filter(version=version).exists():
        raise Http404
    return _shown(request, rental, version=version)


def _shown(
    request: PersonRequest, rental: Rental, *, version: int | None = None, problem: CannotBe | None = None
) -> HttpResponse:  # fmt: skip
    with in_zone_of(rental.branch):
        page = statement_page(rental, version=version)
        may_sign = page.is_latest and rental.state == Rental.State.BACK and request.user.may(Right.SETTLE)
        context = {
            "page": page,
            "counter": panel_of(page, request.user),
            "rental": rental,
            "may_sign": may_sign,
            "problem": problem,
            "typed": request.POST,
        }
        return render(request, "statement/statement.html", context, status=422 if problem else 200)


@require_POST
def draw_up_statement(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = get_object_or_404(scoped(rentals_to_settle(), request.user), pk=pk)
    require(request.user, Right.SETTLE, rental.branch_id)
    try:
        draw_up(rental, act=act_of(request))
    except CannotBe as problem:
        return _shown(request, rental, problem=problem)
    return redirect("statement", rental.pk)


@require_POST
def sign(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The customer's signature, or the staff's: theirs makes the record."""
    row = _to_sign(request, pk)
    role = request.POST.get("role", "customer")
    name = str(request.user) if role == "staff" else request.POST.get("name", "")
    try:
        sign_statement(
            row, role=role, name=name, strokes=strokes_of(fields_of(request), "strokes"),
            seen_sha256=request.POST.get("seen_sha256", ""), act=act_of(request),
        )  # fmt: skip
        if role == "staff":
            settle_and_tell(row, act=act_of(request, "settle_key"))
    except CannotBe as problem:
        return _shown(request, row.rental, problem=problem)
    return _after(row)


def _to_sign(request: PersonRequest, pk: UUID) -> Statement:
    row = get_object_or_404(scoped(statements_to_sign(), request.user, "rental__branch"), pk=pk)
    require(request.user, Right.SETTLE, row.rental.branch_id)
    return row


def _after(row: Statement) -> HttpResponse:
    """To the record once there is one, else back to what is still to sign."""
    record = Record.objects.filter(statement=row).first()
    return redirect("record", record.pk) if record else redirect("statement", row.rental_id)


@require_POST
def unsigned(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The customer refuses, or is not there: the reason stands in place of the signature."""
    row = _to_sign(request, pk)
    try:
        leave_unsigned(
            row, outcome=request.POST.get("outcome", ""), reason=request.POST.get("reason", ""),
            name=row.rental.customer.name, act=act_of(request),
        )  # fmt: skip
    except CannotBe as problem:
        return _shown(request, row.rental, problem=problem)
    return _after(row)


@require_POST
def settle_statement(request: PersonRequest, pk: UUID) -> HttpResponse:
    """For a statement that both sides have under their hands and that is not settled yet."""
    row = _to_sign(request, pk)
    try:
        settle_and_tell(row, act=act_of(request))
    except CannotBe as problem:
        return _shown(request, row.rental, problem=problem)
    return _after(row)
