"""A reading is corrected with evidence, or taken again after filling up."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from handover.acting import Act, CannotBe
from handover.counter.actions import correct_reading, read_again
from handover.counter.actions.reading_again import Receipt
from handover.counter.fetching import reading_of, rental_of, statement_of
from handover.counter.forms import evidence_of, figure_of, id_of, moment_of, text_of
from handover.counter.page.again import again_page
from handover.counter.views.acting import acted, typed
from handover.counter.views.line import line_shown
from handover.rental.models import Rental
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require


@require_POST
def correct(request: PersonRequest, pk: UUID, number: int, reading: UUID) -> HttpResponse:
    statement, row = statement_of(request.user, pk), reading_of(request.user, reading)
    rental = row.walk.leg.rental
    if rental.pk != statement.rental_id:
        raise Http404
    require(request.user, Right.SETTLE, rental.branch_id)

    def do(act: Act) -> None:
        correct_reading(
            row, typed=text_of(request, "typed"), words=text_of(request, "words"), evidence=evidence, act=act
        )

    try:
        evidence = evidence_of(request, rental)
    except CannotBe as refused:
        return line_shown(request, statement, number, refused, f"reading-{row.pk.hex}")
    if problem := acted(request, rental, do):
        return line_shown(request, statement, number, problem, f"reading-{row.pk.hex}")
    return redirect("statement", rental.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def again(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = rental_of(request.user, pk)
    require(request.user, Right.SETTLE if request.method == "POST" else Right.SEE, rental.branch_id)
    if request.method != "POST":
        return _shown(request, rental)
    problem = _read_again(request, rental)
    return _shown(request, rental, problem) if problem else redirect("statement", rental.pk)


def _read_again(request: PersonRequest, rental: Rental) -> CannotBe | None:
    try:
        evidence = evidence_of(request, rental)
    except CannotBe as problem:
        return problem

    def do(act: Act) -> None:
        litres = figure_of(request, "litres", "31.5")
        if litres is None:
            raise CannotBe(_("Write the litres of the receipt."), "litres")
        receipt = Receipt(litres, moment_of(request, "pumped_at", rental.branch.zone))
        item = id_of(request, "item")
        read_again(rental, item=item, typed=text_of(request, "typed"), receipt=receipt, act=act, evidence=evidence)

    return acted(request, rental, do)


def _shown(request: PersonRequest, rental: Rental, problem: CannotBe | None = None) -> HttpResponse:
    with in_zone_of(rental.branch):
        said = {
            "page": again_page(rental, request.user), "rental": rental, "problem": problem,
            "now": f"{localtime():%Y-%m-%dT%H:%M}",
            "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "counter/read_again.html", said, status=422 if problem else 200)
