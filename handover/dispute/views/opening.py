"""Opening a dispute for a customer at the counter or on the phone, and noting a chargeback of the bank."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from handover.acting import CannotBe
from handover.counter.fetching import place_of, rental_of, statement_of
from handover.counter.forms import day_of, figure_of, text_of
from handover.counter.views.acting import typed
from handover.dispute.actions import open_chargeback, open_dispute
from handover.dispute.line import StatementLine, numbered_line
from handover.keys import act_of
from handover.photo.taking_in import TakenIn, take_in
from handover.photo.uploading import TOO_LARGE, too_large
from handover.rental.models import Rental
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require


@require_http_methods(["GET", "HEAD", "POST"])
def line(request: PersonRequest, pk: UUID, number: int) -> HttpResponse:
    statement = statement_of(request.user, pk)
    rental = statement.rental
    require(request.user, Right.SETTLE, rental.branch_id)
    with in_zone_of(rental.branch):
        contested = numbered_line(statement, number)
    if request.method != "POST":
        return _line_shown(request, contested, number)
    try:
        photo = _photo(request, rental)
        row = open_dispute(
            contested, words=text_of(request, "words"), by_customer=False, photo=photo, act=act_of(request)
        )
    except CannotBe as problem:
        return _line_shown(request, contested, number, problem)
    return redirect("dispute", row.pk)


def _photo(request: PersonRequest, rental: Rental) -> TakenIn | None:
    """Decoded before any transaction."""
    if request.META.get(TOO_LARGE) == "photo":
        raise CannotBe(too_large({}).sentence, "photo")
    sent = request.FILES.get("photo")
    return take_in(sent.read(), zone=rental.branch.zone) if sent else None


def _line_shown(
    request: PersonRequest, contested: StatementLine, number: int, problem: CannotBe | None = None
) -> HttpResponse:
    rental = contested.statement.rental
    with in_zone_of(rental.branch):
        said = {
            "place": place_of(rental), "contested": contested, "number": number, "rental": rental,
            "problem": problem, "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "dispute/open.html", said, status=422 if problem else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def chargeback(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = rental_of(request.user, pk)
    require(request.user, Right.SETTLE, rental.branch_id)
    if request.method != "POST":
        return _chargeback_shown(request, rental)
    try:
        statement = rental.statements.last()
        if statement is None:
            raise CannotBe(_not_priced(rental))
        row = open_chargeback(
            statement, claimed=figure_of(request, "claimed", "802.50"), reason_code=text_of(request, "reason_code"),
            answer_by=day_of(request, "answer_by"), words=text_of(request, "words"), act=act_of(request),
        )  # fmt: skip
    except CannotBe as problem:
        return _chargeback_shown(request, rental, problem)
    return redirect("dispute", row.pk)


def _not_priced(rental: Rental) -> str:
    return _("%(rental)s is not priced yet: there is nothing that was paid for it.") % {"rental": rental.number}


def _chargeback_shown(request: PersonRequest, rental: Rental, problem: CannotBe | None = None) -> HttpResponse:
    with in_zone_of(rental.branch):
        said = {
            "place": place_of(rental), "rental": rental, "problem": problem, "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "dispute/chargeback.html", said, status=422 if problem else 200)
