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
from handover.damage.actions import group_damages, price_repair
from handover.damage.models import RepairPrice
from handover.damage.queries import damage_page
from handover.rental.models import Rental
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require

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


def _shown(
    request: PersonRequest, rental: Rental, problem: CannotBe | None = None, *, part: str = "",
    chosen: Events | None = None,
) -> HttpResponse:  # fmt: skip
    with in_zone_of(rental.branch):
        said = {
            "page": damage_page(rental, request.user, chosen), "rental": rental, "bases": RepairPrice.Basis.choices,
            "problem": problem, "part": part, "typed": typed(request) if request.method == "POST" else {},
        }  # fmt: skip
        return render(request, "damage/damages.html", said, status=422 if problem else 200)
