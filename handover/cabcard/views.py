"""The Cab card on the page and on paper, and the plan of the trip that it shows. Its phone page is the customer's."""

from uuid import UUID

from csp.decorators import csp_exempt
from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from handover.acting import CannotBe
from handover.cabcard.actions import OVER, plan_nights, plan_party
from handover.cabcard.forms import NightForm, PartyForm, night_initial, party_initial
from handover.cabcard.page import card_page
from handover.cabcard.queries import MOST_NIGHTS, card_facts, days_of, nights_of, places_for
from handover.cabcard.render import card_pdf
from handover.cabcard.tongues import tongues_for
from handover.customer.qr import qr_of
from handover.customer.staff import card_address_of
from handover.keys import act_of
from handover.rental.models import Rental
from handover.rental.queries import rentals_in_full
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped
from shared.dates import dated_moment


def _rental(request: PersonRequest, pk: UUID, right: Right = Right.SEE) -> Rental:
    row = get_object_or_404(scoped(rentals_in_full(), request.user), pk=pk)
    require(request.user, right, row.branch_id)
    return row


@require_safe
def card(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk)
    with in_zone_of(row.branch):
        address = card_address_of(row, request.user, now=timezone.now())
        context = {
            "rental": row, "page": card_page(card_facts(row), tongues_for(row.customer.language)), "address": address,
            "qr": qr_of(address) if address else "", "may_plan": request.user.may(Right.BOOK) and row.state not in OVER,
        }  # fmt: skip
        return render(request, "cabcard/card.html", context)


# Browsers show a PDF with a viewer of their own, which a policy that allows nothing would stop; the file runs nothing.
@csp_exempt()  # type: ignore[arg-type]
@require_safe
def paper(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk)
    tongues = tongues_for(row.customer.language)
    with in_zone_of(row.branch):
        now = timezone.localtime()
        printed = tongues.both(lambda: _("printed %(at)s") % {"at": dated_moment(now)})
        data = card_pdf(card_page(card_facts(row), tongues), printed_at=printed.own)
    headers = {"Content-Disposition": f'inline; filename="{row.number}-cab-card.pdf"', "Cache-Control": "no-store"}
    return HttpResponse(data, content_type="application/pdf", headers=headers)


@require_safe
def plan(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk, Right.BOOK)
    with in_zone_of(row.branch):
        return _planning(request, row)


@require_POST
def party(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk, Right.BOOK)
    with in_zone_of(row.branch):
        form = PartyForm(request.POST)
        if not form.is_valid():
            return _planning(request, row, party_form=form, status=422)
        try:
            plan_party(rental=row, said=form.said(), act=act_of(request))
        except CannotBe as problem:
            form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)
            return _planning(request, row, party_form=form, status=422)
    return redirect("cab-card-plan", row.pk)


@require_POST
def nights(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _rental(request, pk, Right.BOOK)
    with in_zone_of(row.branch):
        night_forms = _night_forms(row, request)
        wrong = [form for form in night_forms if not form.is_valid()]
        if wrong:
            return _planning(request, row, night_forms=night_forms, status=422)
        try:
            plan_nights(rental=row, nights=tuple(form.said() for form in night_forms), act=act_of(request))
        except CannotBe as problem:
            _at_its_night(night_forms, problem)
            return _planning(request, row, night_forms=night_forms, problem=problem, status=422)
    return redirect("cab-card", row.pk)


def _at_its_night(night_forms: list[NightForm], problem: CannotBe) -> None:
    for form in night_forms:
        if problem.field == form.add_prefix("place"):
            form.add_error("place", problem.sentence)


def _night_forms(row: Rental, request: HttpRequest | None = None) -> list[NightForm]:
    places, planned = places_for(row.branch), nights_of(row)
    sent = request.POST if request else None
    return [
        NightForm(sent, day=day, places=places, initial=night_initial(planned.get(day), places))
        for day in days_of(row)[:MOST_NIGHTS]
    ]


def _planning(
    request: PersonRequest, row: Rental, *, party_form: forms.Form | None = None,
    night_forms: list[NightForm] | None = None, problem: CannotBe | None = None, status: int = 200,
) -> HttpResponse:  # fmt: skip
    facts = card_facts(row)
    context = {
        "rental": row, "facts": facts, "problem": problem, "is_over": row.state in OVER,
        "notes": [note.in_language(_) for note in facts.carried.notes],
        "party_form": party_form or PartyForm(initial=party_initial(facts)),
        "night_forms": _night_forms(row) if night_forms is None else night_forms,
    }  # fmt: skip
    return render(request, "cabcard/plan.html", context, status=status)
