"""Tables of a median and the like: by group how many, and the values at two ranks."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet

from handover.insight.facts import drill_by
from handover.insight.quantiles import Quantiles, quantiles
from handover.insight.table import Column, Drawing, Row, Span, Table

USUAL = (50, 90)


@dataclass(frozen=True, slots=True)
class Ranked:
    """`columns` are the group, how many, and the two ranks; `figure` turns a value into what is shown.

    `words` say on how many the table rests. With an `axis` the two values are drawn, from the first to the second.
    """

    title: str
    definition: str
    columns: tuple[Column, Column, Column, Column]
    figure: Callable[[Any], int | Decimal]
    words: Callable[[int], str]
    percents: tuple[int, int] = USUAL
    unknown: tuple[str, ...] = ()
    axis: str = ""


def quantile_table(facts: QuerySet[Any], told: Ranked, *, rental: str) -> Table:
    """`facts` as `quantiles` takes them; `rental` leads from a fact to the id of its rental. One query."""
    found = quantiles(facts, told.percents)
    count = sum(one.many for one in found)
    return Table(
        title=told.title,
        definition=told.definition,
        columns=told.columns,
        rows=tuple(Row((one.label, one.many, *_figures(one, told)), key=str(one.group)) for one in found),
        rests_on=count,
        rests_words=told.words(count),
        unknown=told.unknown,
        drawing=Drawing(told.axis, tuple(_span(one, told) for one in found)) if told.axis else None,
        drill=drill_by(facts, rental),
    )


def _figures(one: Quantiles, told: Ranked) -> list[int | Decimal]:
    return [told.figure(one.at[percent]) for percent in told.percents]


def _span(one: Quantiles, told: Ranked) -> Span:
    low, high = map(float, _figures(one, told))
    return Span(one.label, low, low, high)
