"""What was found at the return besides levels, counts and marks."""

from collections.abc import Callable
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from handover.acting import Act, CannotBe
from handover.counter.actions import explain_kit, look_at_tanks, look_at_zone, note_item
from handover.counter.actions.finding import ItemState, Tanks
from handover.counter.evidence import Evidence
from handover.counter.fetching import rental_of
from handover.counter.forms import day_of, evidence_of, figure_of, id_of, text_of, whole_of
from handover.counter.models import ItemFinding, KitUse, Soiling
from handover.counter.page.found import found_page
from handover.counter.views.acting import acted, typed
from handover.rental.models import Rental
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require

Noting = Callable[[Rental, Evidence, Act], object]


@require_safe
def found(request: PersonRequest, pk: UUID) -> HttpResponse:
    rental = rental_of(request.user, pk)
    require(request.user, Right.SEE, rental.branch_id)
    return _shown(request, rental)


def _shown(request: PersonRequest, rental: Rental, problem: CannotBe | None = None, part: str = "") -> HttpResponse:
    with in_zone_of(rental.branch):
        said = {
            "page": found_page(rental, request.user), "rental": rental, "tiers": Soiling.Tier.choices,
            "causes": Soiling.Cause.choices, "reports": KitUse.Report.choices, "states": ItemFinding.State.choices,
            "problem": problem, "part": part, "typed": typed(request) if problem else {},
        }  # fmt: skip
        return render(request, "counter/found.html", said, status=422 if problem else 200)


def _noted(request: PersonRequest, pk: UUID, part: str, note: Noting) -> HttpResponse:
    rental = rental_of(request.user, pk)
    require(request.user, Right.RETURN, rental.branch_id)
    try:
        evidence = evidence_of(request, rental)
    except CannotBe as refused:
        return _shown(request, rental, refused, part)
    problem = acted(request, rental, lambda act: note(rental, evidence, act))
    return _shown(request, rental, problem, part) if problem else redirect("found", rental.pk)


@require_POST
def zone(request: PersonRequest, pk: UUID) -> HttpResponse:
    name = text_of(request, "zone")

    def note(rental: Rental, evidence: Evidence, act: Act) -> object:
        return look_at_zone(
            rental, zone=name, tier=text_of(request, "tier"), cause=text_of(request, "cause"),
            words=text_of(request, "words"), evidence=evidence, act=act,
        )  # fmt: skip

    here = name if name in Soiling.Zone.values else Soiling.Zone.INTERIOR.value
    return _noted(request, pk, f"zone-{here}", note)


@require_POST
def tanks(request: PersonRequest, pk: UUID) -> HttpResponse:
    def note(rental: Rental, evidence: Evidence, act: Act) -> object:
        seen = Tanks(
            rubbish_bags=whole_of(request, "rubbish_bags"), toilet_rinsed="not_rinsed" not in request.POST,
            foul_water=text_of(request, "foul_water"),
            foul_water_repair=figure_of(request, "foul_water_repair", "180.00"),
        )  # fmt: skip
        return look_at_tanks(rental, found=seen, words=text_of(request, "words"), evidence=evidence, act=act)

    return _noted(request, pk, "tanks", note)


@require_POST
def kit(request: PersonRequest, pk: UUID) -> HttpResponse:
    code = text_of(request, "kit")

    def note(rental: Rental, evidence: Evidence, act: Act) -> object:
        return explain_kit(
            rental, kit=code, report=text_of(request, "report"), words=text_of(request, "words"), act=act
        )

    return _noted(request, pk, f"kit-{code}", note)


@require_POST
def thing(request: PersonRequest, pk: UUID) -> HttpResponse:
    def note(rental: Rental, evidence: Evidence, act: Act) -> object:
        state = ItemState(
            state=text_of(request, "state"), quantity=whole_of(request, "quantity") or 1,
            repair=figure_of(request, "repair", "35.00"), came_back_on=day_of(request, "came_back_on"),
        )  # fmt: skip
        item, words = id_of(request, "item"), text_of(request, "words")
        return note_item(rental, item=item, found=state, words=words, evidence=evidence, act=act)

    return _noted(request, pk, "thing", note)
