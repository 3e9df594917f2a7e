"""Damages of a rental: which marks are one event, and what each repair costs."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from handover.acting import Act, CannotBe
from handover.counter.fetching import rental_of
from handover.counter.forms import figure_of, id_of, text_of
from handover.counter.views.acting import acted, typed
from handover.damage.actions import decide_moved, group_damages, price_repair
from handover.damage.models import RepairPrice
from handover.damage.queries import damage_page
from handover.rental.models import Rental
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require
from shared.clock import from_wall, local, typed_wall
from shared.phrasebook import said

Events = list[dict[str, Any]]


@require_safe
def damages(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = rental_of(request.user, pk)
    require(request.user, Right.SEE, rental.branch_id)
    return _shown(request, rental)


@require_POST
def group(request: PersonRequest, pk: UUID) -> HttpResponse:
    """With "preview" pressed nothing is kept: the page shows what it would come to."""
    rental = rental_of(request.user, pk)
    require(request.user, Right.SETTLE, rental.branch_id)
    events, reason = _events(request), text_of(request, "reason")
    try:
        events = _with_times(request, events, rental.branch.zone)
    except CannotBe as refused:
        return _shown(request, rental, refused, part="group", chosen=_as_typed(request, events))
    if "preview" in request.POST:
        return _shown(request, rental, chosen=events)
    problem = acted(request, rental, lambda act: group_damages(rental, events=events, reason=reason, act=act))
    if problem:
        return _shown(request, rental, problem, part="group", chosen=events)
    return redirect("damages", rental.pk)


def _events(request: PersonRequest) -> Events:
    """From a choice of event for each mark, and the cause and place of each event that has any."""
    marks: dict[str, list[str]] = {}
    for name, number in request.POST.items():
        if name.startswith("event-"):
            marks.setdefault(str(number), []).append(name.removeprefix("event-"))
    return [
        {
            "id": f"E{number}",
            "cause": text_of(request, f"cause-{number}"),
            "place": text_of(request, f"place-{number}"),
            "marks": marks[number],
        }
        for number in sorted(marks, key=lambda text: text.zfill(4))
    ]


def _with_times(request: PersonRequest, events: Events, zone: str) -> Events:
    """Each event with its time, with the offset, where one is typed. Raises CannotBe for what is no time."""
    return [event | {"at": _time(request, event["id"].removeprefix("E"), zone)} for event in events]


def _as_typed(request: PersonRequest, events: Events) -> Events:
    return [event | {"typed": text_of(request, f"at-{event['id'].removeprefix('E')}")} for event in events]


def _time(request: PersonRequest, number: str, zone: str) -> str:
    """Of an hour that comes twice the second: a lower excess bought between the two is the customer's."""
    typed = text_of(request, f"at-{number}")
    try:
        at = from_wall(typed_wall(typed), zone, fold=1) if typed else None
    except ValueError as problem:
        raise CannotBe(said(str(problem)), f"at-{number}") from problem
    return local(at, zone).isoformat(timespec="minutes") if at else ""


@require_POST
def price_one(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = rental_of(request.user, pk)
    require(request.user, Right.SETTLE, rental.branch_id)

    def do(act: Act) -> None:
        amount, basis = figure_of(request, "amount", "140.00"), text_of(request, "basis")
        if amount is None or basis not in RepairPrice.Basis.values:
            raise CannotBe(_("Give the amount, and whether it is an estimate or the invoice."), "amount")
        price_repair(
            rental, mark=id_of(request, "mark"), basis=basis, amount=amount, reference=text_of(request, "reference"),
            act=act,
        )  # fmt: skip

    if problem := acted(request, rental, do):
        return _shown(request, rental, problem, part=f"price-{text_of(request, 'mark').replace('-', '')}")
    return redirect("damages", rental.pk)


@require_POST
def moved(request: PersonRequest, pk: UUID) -> HttpResponse:
    """A manager decides on a mark that nobody photographed before the unit was moved."""
    rental = rental_of(request.user, pk)
    require(request.user, Right.REOPEN, rental.branch_id)

    def do(act: Act) -> None:
        mark, outcome = id_of(request, "mark"), text_of(request, "outcome")
        decide_moved(rental, mark=mark, outcome=outcome, words=text_of(request, "words"), act=act)

    if problem := acted(request, rental, do):
        return _shown(request, rental, problem, part=f"moved-{text_of(request, 'mark').replace('-', '')}")
    return redirect("damages", rental.pk)


def _shown(
    request: PersonRequest, rental: Rental, problem: CannotBe | None = None, *, part: str = "",
    chosen: Events | None = None,
) -> HttpResponse:  # fmt: skip
    with in_zone_of(rental.branch):
        context = {
            "page": damage_page(rental, request.user, chosen), "rental": rental, "bases": RepairPrice.Basis.choices,
            "problem": problem, "part": part, "typed": typed(request) if request.method == "POST" else {},
        }  # fmt: skip
        return render(request, "damage/damages.html", context, status=422 if problem else 200)
