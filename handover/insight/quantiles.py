"""Medians and the like, worked out by the database: nearest rank, one query however many rows.

The p-th percentile of n values in order is the value at place ceil(n p / 100): always one that was measured.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Count, F, Q, QuerySet, Window
from django.db.models.functions import RowNumber


@dataclass(slots=True)
class Quantiles:
    """Of one group: how many values, and by percent the value at that rank."""

    group: Any
    label: str
    many: int
    at: dict[int, Any] = field(default_factory=dict)


def quantiles(facts: QuerySet[Any], percents: Sequence[int]) -> list[Quantiles]:
    """`facts` are annotated with group, label and value, none of them null. By label."""
    ranked = facts.order_by().annotate(
        place=Window(RowNumber(), partition_by=F("group"), order_by=[F("value").asc(), F("pk").asc()]),
        many=Window(Count("pk"), partition_by=F("group")),
    )
    wanted = Q()
    for percent in percents:
        ranked = ranked.annotate(**{f"over_{percent}": F("place") * 100 - F("many") * percent})
        wanted |= Q(**{f"over_{percent}__gte": 0, f"over_{percent}__lt": 100})
    found: dict[Any, Quantiles] = {}
    for row in ranked.filter(wanted).values("group", "label", "value", "place", "many"):
        one = found.setdefault(row["group"], Quantiles(row["group"], row["label"], row["many"]))
        for percent in percents:
            if 0 <= row["place"] * 100 - row["many"] * percent < 100:
                one.at[percent] = row["value"]
    return sorted(found.values(), key=lambda one: (str(one.label).casefold(), str(one.group)))
