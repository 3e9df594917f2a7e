"""Annotations that the metrics share: what a row is grouped by, what it is called, and which rental it belongs to."""

from collections.abc import Iterable
from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import CharField, F, OuterRef, QuerySet, Subquery, Value
from django.db.models.expressions import Combinable
from django.db.models.functions import Coalesce, Concat, NullIf, Trim

from handover.insight.table import Drill
from handover.rental.models import Leg

TENTH = Decimal("0.1")


def person(path: str) -> Combinable:
    """The name of a person as pages write it."""
    whole = Trim(Concat(F(f"{path}__first_name"), Value(" "), F(f"{path}__last_name"), output_field=CharField()))
    return Coalesce(NullIf(whole, Value("")), F(f"{path}__username"), output_field=CharField())


def back_at() -> Subquery:
    """When the rental of a movement came back: the end of the last of its legs that a return ended."""
    ended = Leg.objects.filter(rental=OuterRef("rental"), ended_by=Leg.EndedBy.RETURN).order_by("-number")
    return Subquery(ended.values("ended_at")[:1])


def minutes(span: timedelta) -> int:
    """Whole minutes, rounded down."""
    return int(span.total_seconds() // 60)


def hours(span: timedelta) -> Decimal:
    return (Decimal(int(span.total_seconds())) / 3600).quantize(TENTH)


def days(span: timedelta) -> Decimal:
    return (Decimal(int(span.total_seconds())) / 86400).quantize(TENTH)


def drill_by(facts: QuerySet[Any], rental: str, group: str = "group") -> Drill:
    """The rentals of one group of facts; `rental` leads from a fact to the id of its rental."""

    def rentals_of(key: str) -> Iterable[UUID]:
        found = facts.order_by().filter(**{group: key}).values_list(rental, flat=True)
        return {pk for pk in found if pk is not None}

    return rentals_of


def drill_among(members: dict[str, set[UUID]]) -> Drill:
    """The rentals of one row where they were gathered with it."""
    return lambda key: members.get(key, set())
