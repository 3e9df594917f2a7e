"""A table of figures that says what it shows, on how many it rests and what cannot be known. Pure.

The page, the CSV and the JSON are made from the same table, so that they cannot disagree.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TypeAlias
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in one currency. Amounts in two currencies are never added."""

    amount: Decimal
    currency: str


Cell: TypeAlias = str | int | Decimal | Money | date | datetime | None


@dataclass(frozen=True, slots=True)
class Column:
    """`name` is the key in JSON and the heading in CSV; `figures` stand at the right."""

    name: str
    title: str
    figures: bool = True


@dataclass(frozen=True, slots=True)
class Row:
    """One cell for each column; None is "not known". `key` leads to the rentals behind it, `rental` to the one."""

    cells: tuple[Cell, ...]
    key: str = ""
    rental: UUID | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """One line of a plot: a dot at `value`, with a whisker from low to high, all in the unit of the axis."""

    label: str
    value: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Drawing:
    """Lines on one scale that begins at zero; `axis` says what is measured and in which unit."""

    axis: str
    spans: tuple[Span, ...]


Drill: TypeAlias = Callable[[str], Iterable[UUID]]


@dataclass(frozen=True, slots=True)
class Table:
    """`rests_on` counts what was looked at, `rests_words` names it: "12 pickups".

    `unknown` are sentences on what the data do not hold; `drill` gives the ids of the rentals behind the key of a row.
    """

    title: str
    definition: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    rests_on: int
    rests_words: str
    unknown: tuple[str, ...] = ()
    warning: str = ""
    drawing: Drawing | None = None
    drill: Drill | None = None

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row.cells) != len(self.columns):
                raise ValueError(f"{self.title}: {len(row.cells)} cells for {len(self.columns)} columns")

    def row(self, key: str) -> Row | None:
        return next((row for row in self.rows if row.key and row.key == key), None)


def share(part: int | Decimal, whole: int | Decimal) -> Decimal | None:
    """Percent with one decimal; None of nothing."""
    return (Decimal(part) * 100 / Decimal(whole)).quantize(Decimal("0.1")) if whole else None


def per(part: int | Decimal, whole: int | Decimal, each: int) -> Decimal | None:
    """So many for each 100 or 1,000, with one decimal; None of nothing."""
    return (Decimal(part) * each / Decimal(whole)).quantize(Decimal("0.1")) if whole else None
