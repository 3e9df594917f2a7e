"""The day a rental ended: of return, signature, settlement, payment and decisions the last, by the branch's clock."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db.models import Max

from handover.dispute.models import Decision
from handover.rental.models import Leg, Rental
from handover.settlement.models import Movement
from handover.statement.models import Signature, Statement
from shared.clock import local

OVER = frozenset({Rental.State.SETTLED, Rental.State.CANCELLED})
"""In these states alone something of a rental is erased."""

LAST: tuple[tuple[Any, str, str], ...] = (
    (Leg, "rental", "ended_at"),
    (Statement, "rental", "drawn_up_at"),
    (Signature, "rental", "at"),
    (Movement, "rental", "at"),
    (Decision, "dispute__rental", "at"),
)


def ended(rentals: Iterable[Rental]) -> Mapping[UUID, date]:
    """By rental, loaded with its branch. Five queries. Where nothing happened it is the planned return."""
    rows = list(rentals)
    last: dict[UUID, datetime] = {}
    for model, path, column in LAST:
        times = model.objects.filter(**{f"{path}__in": rows}).order_by().values_list(path).annotate(last=Max(column))
        for rental, when in times:
            if when:
                last[rental] = max(when, last.get(rental, when))
    return {row.pk: local(last.get(row.pk, row.planned_back_at), row.branch.zone).date() for row in rows}
