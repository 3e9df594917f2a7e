"""The rate cards of a branch: the list with what does not hold, a card to read, a draft to edit, its preview."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from fleet.models import Branch
from handover.acting import CannotBe
from handover.charges import Problem
from handover.keys import act_of
from handover.ratecard.actions import begin_draft, delete_draft, import_draft, keep_draft, publish
from handover.ratecard.checking import check_cells
from handover.ratecard.csv_file import csv_of, read_card
from handover.ratecard.forms import CardForm, FileForm
from handover.ratecard.posted import posted_cells
from handover.ratecard.preview import preview
from handover.ratecard.queries import KINDS, PARTS, CardPage, card_page, cards_in_full, cards_page, draft_page
from handover.rental.models import RateCard
from handover.zone import in_zone_of, today_at
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped


def _branch(request: PersonRequest, code: str, right: Right | None = None) -> Branch:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, right or _reading(request), branch.pk)
    return branch


def _reading(request: PersonRequest) -> Right:
    """Who sets up reads them, and who verifies: a manager answers for the prices without writing them."""
    return Right.SET_UP if request.user.may(Right.SET_UP) else Right.VERIFY


def _card(request: PersonRequest, pk: UUID, right: Right | None = None) -> RateCard:
    card = get_object_or_404(scoped(cards_in_full(), request.user), pk=pk)
    require(request.user, right or _reading(request), card.branch_id)
    return card


@require_safe
def rate_cards(request: PersonRequest, code: str) -> HttpResponse:
    return _list(request, _branch(request, code), FileForm())


def _list(
    request: PersonRequest, branch: Branch, form: FileForm, *, problems: list[str] | None = None
) -> HttpResponse:  # fmt: skip
    with in_zone_of(branch):
        context = {
            "branch": branch,
            "page": cards_page(branch, today=today_at(branch)),
            "form": form,
            "problems": problems or [],
            "may_set_up": request.user.may(Right.SET_UP),
        }
        status = 422 if problems or form.errors else 200
        return render(request, "ratecard/rate_cards.html", context, status=status)


@require_POST
def begin(request: PersonRequest, code: str) -> HttpResponse:
    branch = _branch(request, code, Right.SET_UP)
    try:
        card = begin_draft(branch=branch, act=act_of(request))
    except CannotBe as problem:
        return _list(request, branch, FileForm(), problems=[problem.sentence])
    return redirect("rate-card", card.pk)


@require_POST
def import_card(request: PersonRequest, code: str) -> HttpResponse:
    """A draft out of a file, or every bad row of it and no draft."""
    branch = _branch(request, code, Right.SET_UP)
    form = FileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _list(request, branch, form)
    read = read_card(form.cleaned_data["file"].read(), branch)
    if read.problems:
        return _list(request, branch, form, problems=read.problems)
    try:
        card = import_draft(
            branch=branch, cells=read.cells, valid_from=read.valid_from, note=read.note, act=act_of(request)
        )
    except CannotBe as problem:
        return _list(request, branch, form, problems=[problem.sentence])
    return redirect("rate-card", card.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def rate_card(request: PersonRequest, pk: UUID) -> HttpResponse:
    """Read by whoever may; a draft is edited by who sets up."""
    card = _card(request, pk, Right.SET_UP if request.method == "POST" else None)
    if request.method == "POST":
        return _keep(request, card)
    if card.draft and request.user.may(Right.SET_UP):
        return _editor(request, card, draft_page(card), _form(card))
    context = {"page": card_page(card), "card": card, "branch": card.branch}
    return render(request, "ratecard/card.html", context)


def _form(card: RateCard) -> CardForm:
    return CardForm(initial={"valid_from": card.valid_from, "note": card.note})


def _editor(
    request: HttpRequest, card: RateCard, page: CardPage, form: CardForm, *, problem: str = "", status: int = 200
) -> HttpResponse:  # fmt: skip
    context = {
        "page": page, "card": card, "branch": card.branch, "form": form, "problem": problem,
        "kinds": KINDS, "parts": PARTS, "kept": request.GET.get("kept") == "1",
        "wrong": status != 200 and not problem,
    }  # fmt: skip
    return render(request, "ratecard/draft.html", context, status=status)


def _keep(request: PersonRequest, card: RateCard) -> HttpResponse:
    """What cannot be stands at its field; then nothing is kept and everything typed is still there."""
    form, posted = CardForm(request.POST), request.POST.dict()
    cells, unnamed = posted_cells(posted)
    problems = [*unnamed, *check_cells(cells, card.branch).problems]
    if problems or not form.is_valid():
        return _editor(request, card, draft_page(card, cells, _first_of_each(problems), posted), form, status=422)
    try:
        keep_draft(
            card=card, cells=cells, valid_from=form.cleaned_data["valid_from"], note=form.cleaned_data["note"],
            act=act_of(request),
        )  # fmt: skip
    except CannotBe as problem:
        return _editor(request, card, draft_page(card, cells), form, problem=problem.sentence, status=422)
    response = redirect("rate-card", card.pk)
    response["Location"] += "?kept=1"
    return response


def _first_of_each(problems: list[Problem]) -> list[Problem]:
    return list({one.path: one for one in reversed(problems)}.values())[::-1]


@require_safe
def preview_card(request: PersonRequest, pk: UUID) -> HttpResponse:
    card = _card(request, pk)
    context = {"preview": preview(card), "card": card, "branch": card.branch}
    return render(request, "ratecard/preview.html", context)


@require_POST
def publish_card(request: PersonRequest, pk: UUID) -> HttpResponse:
    card = _card(request, pk, Right.SET_UP)
    try:
        publish(card=card, act=act_of(request))
    except CannotBe as problem:
        return _refused(request, card, problem)
    return redirect("rate-card", card.pk)


@require_POST
def delete_card(request: PersonRequest, pk: UUID) -> HttpResponse:
    card = _card(request, pk, Right.SET_UP)
    try:
        delete_draft(card=card, act=act_of(request))
    except CannotBe as problem:
        return _refused(request, card, problem)
    return redirect("rate-cards", card.branch.code)


def _refused(request: PersonRequest, card: RateCard, problem: CannotBe) -> HttpResponse:
    if card.draft:
        return _editor(request, card, draft_page(card), _form(card), problem=problem.sentence, status=422)
    context = {"page": card_page(card), "card": card, "branch": card.branch, "problem": problem.sentence}
    return render(request, "ratecard/card.html", context, status=422)


@require_safe
def card_csv(request: PersonRequest, pk: UUID) -> HttpResponse:
    card = _card(request, pk)
    name = f"rate-card-{card.branch.code}-{card.number}.csv"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(csv_of(card), content_type="text/csv; charset=utf-8", headers=headers)
