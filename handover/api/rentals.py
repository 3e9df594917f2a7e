"""Rentals out."""

from typing import Any
from uuid import UUID

from django.db.models import Prefetch, QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from ninja import Query, Router

from handover.api.paging import Page, paged
from handover.api.rentals_schema import ExtraOut, LegOut, RentalOut, RentalsAsked
from handover.api.scopes import Scope
from handover.api.tokens import Scoped, TokenRequest
from handover.api.words import amount_text
from handover.rental.models import Leg, Rental
from shared.access.scope import scoped
from shared.money import exponent

router = Router(tags=["Rentals"], auth=Scoped(Scope.RENTALS_READ))


@router.get("/rentals", response=Page[RentalOut], url_name="api-rentals", operation_id="list_rentals")
def rentals(request: TokenRequest, response: HttpResponse, asked: Query[RentalsAsked]) -> Any:
    """Rentals in the order they were entered, which filters narrow."""
    return paged(request, response, _narrowed(scoped(rentals_out(), request.auth.person), asked), asked, shown)


@router.get("/rentals/{uuid:rental_id}", response=RentalOut, url_name="api-rental", operation_id="get_rental")
def rental(request: TokenRequest, rental_id: UUID) -> Any:
    """One rental. Its ETag is what a change names in If-Match."""
    return shown(get_object_or_404(scoped(rentals_out(), request.auth.person), pk=rental_id))


def rentals_out() -> QuerySet[Rental]:
    legs = Leg.objects.select_related("unit")
    return Rental.objects.select_related("branch", "customer").prefetch_related(Prefetch("legs", legs), "extras")


def _narrowed(rows: QuerySet[Rental], asked: RentalsAsked) -> QuerySet[Rental]:
    wanted = {
        "branch__code": asked.branch, "state": asked.state, "outside_reference": asked.reference,
        "number": asked.number, "planned_out_at__gte": asked.out_from, "planned_out_at__lt": asked.out_until,
    }  # fmt: skip
    return rows.filter(**{name: value for name, value in wanted.items() if value})


def shown(row: Rental) -> RentalOut:
    """Of a rental from rentals_out()."""
    digits = exponent(row.currency)
    return RentalOut(
        id=str(row.pk),
        number=row.number,
        branch=row.branch.code,
        state=row.state,  # type: ignore[arg-type]
        reference=row.outside_reference,
        planned_out_at=row.planned_out_at,
        planned_back_at=row.planned_back_at,
        charged_days=row.charged_days,
        liability_option=row.liability_option,
        currency=row.currency,
        excess=amount_text(row.excess, digits),
        deposit=amount_text(row.deposit_held, digits),
        language=row.customer.language,
        legs=[_leg(leg) for leg in row.legs.all()],
        extras=[
            ExtraOut(name=extra.name, price=amount_text(extra.price, digits), purchased_at=extra.purchased_at)
            for extra in row.extras.all()
        ],
        statements=reverse("api-rental-statements", args=[row.pk]),
        records=reverse("api-rental-records", args=[row.pk]),
    )


def _leg(leg: Leg) -> LegOut:
    return LegOut(unit=leg.unit.number, unit_id=str(leg.unit_id), started_at=leg.started_at, ended_at=leg.ended_at)
