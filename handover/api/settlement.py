"""Money out: what was moved, where each rental stands, and the rows that the accounts book."""

import json
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Literal
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from ninja import Query, Router, Schema
from pydantic import Field

from fleet.models import Branch
from handover.acting import CannotBe
from handover.api.paging import Page, Paged, paged
from handover.api.scopes import Scope
from handover.api.tokens import Scoped, TokenRequest
from handover.api.words import BranchCode, Day, Moment, amount_text
from handover.rental.models import Rental
from handover.settlement.export import as_json
from handover.settlement.models import Movement
from handover.settlement.standing import standing_of
from handover.zone import today_at
from shared.access.scope import scoped
from shared.money import exponent

router = Router(tags=["Settlement"], auth=Scoped(Scope.SETTLEMENT_READ))
MOST_DAYS = 366


class MovementsAsked(Paged):
    branch: BranchCode | None = None
    moved_from: Moment | None = None


class MovementOut(Schema):
    """Money that moved. `reference` is of the till or the bank and never a card number."""

    id: str
    rental: str
    rental_id: str
    branch: str
    kind: Literal["held", "captured", "released", "paid", "refunded"]
    method: Literal["card", "cash", "transfer"]
    amount: str
    currency: str
    reference: str
    hold: str | None = Field(description="The hold that a capture or release is of.")
    expires_on: date | None
    at: datetime


class StandingOut(Schema):
    """Where the money of a rental stands. `owed` and `gap` are null before a statement is settled."""

    rental: str
    currency: str
    owed: str | None
    received: str
    held: str
    kept: str = Field(description="Of the deposit, for lines that are still to come.")
    gap: str | None = Field(description="Still to collect; below zero to give back.")


class BookedOut(Schema):
    """One row for the accounts: line, reversal or movement. Amounts as text, empty where they do not apply."""

    booked_on: str
    rental: str
    version: str
    entry: str
    code: str
    ref: str
    tax_class: str
    net: str
    tax: str
    gross: str
    currency: str
    movement: str
    moved: str
    method: str
    reference: str


class Export(Schema):
    branch: str
    start: str = Field(alias="from")
    to: str
    currency: str
    rows: list[BookedOut]
    sums: dict[str, str]


class ExportAsked(Schema):
    branch: BranchCode
    start: Day = Field(alias="from")
    to: Day


@router.get("/movements", response=Page[MovementOut], url_name="api-movements", operation_id="list_movements")
def movements(request: TokenRequest, response: HttpResponse, asked: Query[MovementsAsked]) -> Any:
    """Deposits held, captured and released, balances paid, refunds."""
    rows = scoped(Movement.objects.select_related("rental__branch"), request.auth.person, "rental__branch")
    wanted = {"rental__branch__code": asked.branch, "at__gte": asked.moved_from}
    rows = rows.filter(**{name: value for name, value in wanted.items() if value})
    return paged(request, response, rows, asked, _shown)


@router.get("/rentals/{uuid:rental_id}/settlement", response=StandingOut, url_name="api-settlement",
            operation_id="get_settlement")  # fmt: skip
def settlement(request: TokenRequest, rental_id: UUID) -> Any:
    """Where the money of one rental stands, by its latest settled statement."""
    rows = scoped(Rental.objects.select_related("branch"), request.auth.person)
    rental = get_object_or_404(rows, pk=rental_id)
    stands = standing_of(rental, today=today_at(rental.branch))
    digits = exponent(rental.currency)
    is_owed = stands.total is not None
    return StandingOut(
        rental=rental.number,
        currency=rental.currency,
        owed=amount_text(stands.total, digits) if stands.total is not None else None,
        received=amount_text(stands.received, digits),
        held=amount_text(sum((hold.left for hold in stands.live()), Decimal(0)), digits),
        kept=amount_text(stands.kept, digits),
        gap=amount_text(stands.gap, digits) if is_owed else None,
    )


@router.get("/settlements/export", response=Export, by_alias=True, url_name="api-settlements-export",
            operation_id="export_settlements")  # fmt: skip
def export(request: TokenRequest, asked: Query[ExportAsked]) -> Any:
    """What the accounts book of some days, both included: as the download of the settlements page."""
    branch = get_object_or_404(scoped(Branch.objects.all(), request.auth.person, path=""), code=asked.branch)
    if asked.to < asked.start:
        raise CannotBe(_("The last day is before the first. The two may be swapped."), "to")
    if (asked.to - asked.start).days > MOST_DAYS:
        raise CannotBe(_("At most %(most)s days are looked at.") % {"most": MOST_DAYS}, "to")
    return json.loads(as_json(branch, start=asked.start, end=asked.to))


def _shown(row: Movement) -> MovementOut:
    return MovementOut(
        id=str(row.pk), rental=row.rental.number, rental_id=str(row.rental_id), branch=row.rental.branch.code,
        kind=row.kind, method=row.method,  # type: ignore[arg-type]
        amount=amount_text(row.amount, exponent(row.currency)),
        currency=row.currency, reference=row.reference, hold=str(row.hold_id) if row.hold_id else None,
        expires_on=row.expires_on, at=row.at,
    )  # fmt: skip
