"""The money of one rental, what is open at a branch, and the download for the accounts department."""

from collections.abc import Callable
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from fleet.models import Branch
from handover.acting import Act, CannotBe
from handover.keys import act_of
from handover.rental.models import Rental
from handover.rental.queries import rentals_in_full
from handover.settlement import actions
from handover.settlement.actions import Money
from handover.settlement.export import as_csv, as_json, rows
from handover.settlement.forms import HoldForm, MoneyForm, SpanForm
from handover.settlement.models import Movement
from handover.settlement.queries import held_too_long, money_page, open_settlements
from handover.zone import in_zone_of, today_at
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped
from shared.money import exponent, round_half_up


@require_safe
def settlement(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _shown(request, _rental(request, pk, Right.SEE))


def _rental(request: PersonRequest, pk: UUID, right: Right) -> Rental:
    row = get_object_or_404(scoped(rentals_in_full(), request.user), pk=pk)
    require(request.user, right, row.branch_id)
    return row


def _shown(
    request: PersonRequest, rental: Rental, form: HoldForm | None = None, problem: str = ""
) -> HttpResponse:  # fmt: skip
    with in_zone_of(rental.branch):
        page = money_page(rental, today=today_at(rental.branch))
        unheld = round_half_up(page.unheld, exponent(rental.currency)) or None
        hold = form or HoldForm(initial={"amount": unheld, "method": Movement.Method.CARD})
        wrong = bool(problem or (form and form.errors))
        context = {
            "page": page, "rental": rental, "form": hold, "problem": problem, "asks": wrong and form is not None,
            "may": request.user.may(Right.SETTLE), "methods": Movement.Method.choices, "typed": request.POST,
        }  # fmt: skip
        return render(request, "settlement/settlement.html", context, status=422 if wrong else 200)


@require_POST
def hold(request: PersonRequest, pk: UUID) -> HttpResponse:
    """A deposit is held: a card's hold, cash, a transfer."""
    rental = _rental(request, pk, Right.SETTLE)
    form = HoldForm(request.POST)
    if not form.is_valid():
        return _shown(request, rental, form)
    try:
        actions.hold_deposit(
            rental=rental, money=form.money(), expires_on=form.cleaned_data["expires_on"], act=act_of(request)
        )
    except CannotBe as problem:
        form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)
        return _shown(request, rental, form)
    return redirect("settlement", rental.pk)


@require_POST
def capture(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _hold(request, pk)
    return _moved(request, row.rental_id, lambda money, act: actions.capture(hold=row, money=money, act=act))


@require_POST
def release(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _hold(request, pk)
    return _moved(request, row.rental_id, lambda money, act: actions.release(hold=row, money=money, act=act))


@require_POST
def pay(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = _rental(request, pk, Right.SETTLE)
    return _moved(request, pk, lambda money, act: actions.take_balance(rental=rental, money=money, act=act))


@require_POST
def refund(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = _rental(request, pk, Right.SETTLE)
    return _moved(request, pk, lambda money, act: actions.refund(rental=rental, money=money, act=act))


def _hold(request: PersonRequest, pk: UUID) -> Movement:
    holds = Movement.objects.filter(kind=Movement.Kind.HELD).select_related("rental__branch")
    row = get_object_or_404(scoped(holds, request.user, "rental__branch"), pk=pk)
    require(request.user, Right.SETTLE, row.rental.branch_id)
    return row


def _moved(request: PersonRequest, rental: UUID, do: Callable[[Money, Act], Movement]) -> HttpResponse:
    form = MoneyForm(request.POST)
    try:
        if not form.is_valid():
            raise CannotBe(str(next(iter(form.errors.values()))[0]))
        do(form.money(), act_of(request))
    except CannotBe as problem:
        return _shown(request, _rental(request, rental, Right.SETTLE), problem=problem.sentence)
    return redirect("settlement", rental)


@require_safe
def settlements(request: PersonRequest, code: str) -> HttpResponse:
    """What is open at a branch, deposits held too long, and the download."""
    branch = _branch(request, code)
    today = today_at(branch)
    span = SpanForm(initial={"start": today.replace(day=1), "end": today, "format": "csv"})
    return _branch_page(request, branch, span)


def _branch(request: PersonRequest, code: str) -> Branch:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, Right.SETTLE, branch.pk)
    return branch


def _branch_page(request: PersonRequest, branch: Branch, span: SpanForm) -> HttpResponse:
    with in_zone_of(branch):
        context = {
            "branch": branch,
            "open": open_settlements(branch),
            "held": held_too_long(branch, now=timezone.now(), today=today_at(branch)),
            "form": span,
        }
        return render(request, "settlement/settlements.html", context, status=422 if span.errors else 200)


@require_safe
def export(request: PersonRequest, code: str) -> HttpResponse:
    branch = _branch(request, code)
    form = SpanForm(request.GET)
    if not form.is_valid():
        return _branch_page(request, branch, form)
    start, end, kind = (form.cleaned_data[name] for name in ("start", "end", "format"))
    csv = kind == "csv"
    text = as_csv(rows(branch, start=start, end=end)) if csv else as_json(branch, start=start, end=end)
    response = HttpResponse(text, content_type="text/csv; charset=utf-8" if csv else "application/json")
    response["Content-Disposition"] = f'attachment; filename="settlements-{branch.code}-{start}-{end}.{kind}"'
    response["Cache-Control"] = "no-store"
    return response
