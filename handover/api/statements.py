"""Statements out, in the house language: what they say is evidence."""

import json
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from ninja import Query, Router

from handover.api.paging import Page, paged
from handover.api.scopes import Scope
from handover.api.statements_schema import (
    CoverOut,
    FindingOut,
    LineOut,
    StatementOut,
    StatementsAsked,
    StatementShort,
    StepOut,
)
from handover.api.tokens import Scoped, TokenRequest
from handover.api.words import amount_text
from handover.rental.models import Rental
from handover.settlement.standing import SETTLED
from handover.statement.models import Statement
from handover.statement.queries import wording_of
from handover.walkround.models import WalkRound
from shared.access.scope import scoped
from shared.ledger.models import Entry
from shared.money import exponent
from shared.phrasebook import in_house_language

router = Router(tags=["Statements"], auth=Scoped(Scope.STATEMENTS_READ))


@router.get("/statements", response=Page[StatementShort], url_name="api-statements", operation_id="list_statements")
def statements(request: TokenRequest, response: HttpResponse, asked: Query[StatementsAsked]) -> Any:
    """Versions of statements in the order they were drawn up, without their lines."""
    rows = scoped(statements_out(), request.auth.person, "rental__branch")
    wanted = {
        "rental__branch__code": asked.branch, "is_settled": asked.settled, "drawn_up_at__gte": asked.drawn_up_from
    }  # fmt: skip
    rows = rows.filter(**{name: value for name, value in wanted.items() if value is not None})
    return paged(request, response, rows.defer("inputs", "result"), asked, _short)


@router.get("/rentals/{uuid:rental_id}/statements", response=list[StatementShort], url_name="api-rental-statements",
            operation_id="list_statements_of_rental")  # fmt: skip
def of_rental(request: TokenRequest, rental_id: UUID) -> Any:
    """Every version of a rental's statement; the last one counts."""
    rental = get_object_or_404(scoped(Rental.objects.all(), request.auth.person), pk=rental_id)
    rows = statements_out().filter(rental=rental).defer("inputs", "result").order_by("version")
    return [_short(row) for row in rows]


@router.get("/statements/{uuid:statement_id}", response=StatementOut, url_name="api-statement",
            operation_id="get_statement")  # fmt: skip
def statement(request: TokenRequest, statement_id: UUID) -> Any:
    """One version with every line, each with the steps that its amount comes from."""
    row = get_object_or_404(scoped(statements_out(), request.auth.person, "rental__branch"), pk=statement_id)
    return _whole(row)


def statements_out() -> QuerySet[Statement]:
    settled = Entry.objects.filter(subject=OuterRef("pk"), kind=SETTLED)
    return Statement.objects.select_related("rental__branch").annotate(is_settled=Exists(settled))


def _short(row: Any) -> StatementShort:
    return StatementShort(**_head(row))


def _head(row: Any) -> dict[str, Any]:
    return {
        "id": str(row.pk),
        "rental": row.rental.number,
        "rental_id": str(row.rental_id),
        "branch": row.rental.branch.code,
        "version": row.version,
        "currency": row.currency,
        "total": amount_text(row.total, exponent(row.currency)),
        "settled": row.is_settled,
        "drawn_up_at": row.drawn_up_at,
        "objection_until": row.objection_until,
        "digest": row.digest,
        "href": reverse("api-statement", args=[row.pk]),
    }


@in_house_language
def _whole(row: Any) -> StatementOut:
    result = json.loads(row.result)
    walks = WalkRound.objects.filter(leg__rental=row.rental).select_related("sheet").order_by("started_at")
    wording = wording_of(row.rental, list(walks))
    pairs = enumerate(zip(result["lines"], result["workings"], strict=True), start=1)
    return StatementOut(
        **_head(row),
        rules_version=row.rules_version,
        totals={name: str(amount) for name, amount in result["totals"].items()},
        lines=[_line(number, wording.title(line), line, workings) for number, (line, workings) in pairs],
        findings=[
            FindingOut(**{name: found.get(name) or "" for name in FindingOut.model_fields})
            for found in result["findings"]
        ],
    )


def _line(number: int, title: str, line: Mapping[str, Any], workings: Mapping[str, Any]) -> LineOut:
    return LineOut(
        number=number,
        title=title,
        measure=workings["measure"],
        steps=[StepOut(**step) for step in workings["steps"]],
        cover=[CoverOut(name=part["name"], label=part["label"], amount=part["amount"]) for part in workings["cover"]],
        **{name: line[name] for name in ("code", "ref", "raw", "covered", "amount", "tax_code", "tax")},
    )
