"""The sheet of a walk-round: every question it asks, station by station, and the plan it is walked on.

Frozen values, no database: pages, pricing and records read the same sheet.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any, TypeVar
from uuid import UUID


@dataclass(frozen=True, slots=True)
class CheckAsk:
    id: UUID
    text: str
    hint: str
    good: str
    bad: str
    safety: bool
    stop_sentence: str
    at: str

    @property
    def stops_with(self) -> str:
        """Why the unit stays when a safety check is answered badly."""
        return self.stop_sentence or f"{self.text}: {self.bad.lower()}."


@dataclass(frozen=True, slots=True)
class InstrumentAsk:
    """capacity, resolution and half_width are in `unit`; tare and net only for gas cylinders, in kg.

    curve: litres at even places of a tank's gauge as they were valid at pickup, since curve_from; empty for a straight
    line.
    """

    id: UUID
    code: str
    name: str
    instrument: str
    measures: str
    unit: str
    capacity: Decimal | None
    steps: int
    resolution: Decimal
    half_width: Decimal
    tare_kg: Decimal | None
    net_kg: Decimal | None
    serial: str
    hint: str
    at: str
    curve: tuple[Decimal, ...] = ()
    curve_from: str = ""


@dataclass(frozen=True, slots=True)
class KitAsk:
    id: UUID
    code: str
    name: str
    sealed: bool
    seal_number: str
    expires_on: str
    contents: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CountAsk:
    """price in the currency of the layout, for one; age in whole months when the walk-round began."""

    id: UUID
    code: str
    name: str
    quantity: int
    price: Decimal
    life_months: int | None
    age_months: int
    age_reduced: bool


@dataclass(frozen=True, slots=True)
class TopicWords:
    """A topic in one language. `state`: "english" is what the others follow, "approved" or "draft" a translation."""

    language: str
    title: str
    text: str
    state: str


@dataclass(frozen=True, slots=True)
class TopicAsk:
    """title and text in English; `others` in the other languages as they stood when the walk-round began."""

    id: UUID
    severity: str
    title: str
    text: str
    code: str = ""
    others: tuple[TopicWords, ...] = ()


@dataclass(frozen=True, slots=True)
class ViewAsk:
    """A photo to take from `eye` towards `aim`, in mm on the plan. `of` is the instrument it shows, if one."""

    id: UUID
    code: str
    name: str
    shows: str
    eye_mm: tuple[int, int]
    aim_mm: tuple[int, int]
    at: str
    of: UUID | None = None

    @property
    def subject(self) -> UUID:
        """What a photo of this view is kept under: a gauge is one subject, whoever asks for it."""
        return self.of or self.id


@dataclass(frozen=True, slots=True)
class StationSheet:
    number: int
    name: str
    where: str
    x_mm: int
    y_mm: int
    way: tuple[tuple[int, int], ...]
    checks: tuple[CheckAsk, ...]
    instruments: tuple[InstrumentAsk, ...]
    kits: tuple[KitAsk, ...]
    counts: tuple[CountAsk, ...]
    topics: tuple[TopicAsk, ...]
    # A sheet kept before photos were asked for has none.
    views: tuple[ViewAsk, ...] = ()


@dataclass(frozen=True, slots=True)
class FittingSheet:
    kind: str
    x_mm: int
    y_mm: int
    w_mm: int
    h_mm: int
    turn: int


@dataclass(frozen=True, slots=True)
class SheetData:
    layout: str
    body: str
    length_mm: int
    width_mm: int
    height_mm: int
    axles_mm: tuple[int, ...]
    max_mass_kg: int
    belted_seats: int
    fuel: str
    currency: str
    traffic_side: str
    fittings: tuple[FittingSheet, ...]
    stations: tuple[StationSheet, ...]

    def station(self, number: int) -> StationSheet | None:
        return next((station for station in self.stations if station.number == number), None)

    def instruments(self) -> Iterator[tuple[StationSheet, InstrumentAsk]]:
        return ((station, ask) for station in self.stations for ask in station.instruments)

    def kits(self) -> Iterator[tuple[StationSheet, KitAsk]]:
        return ((station, ask) for station in self.stations for ask in station.kits)

    def counts(self) -> Iterator[tuple[StationSheet, CountAsk]]:
        return ((station, ask) for station in self.stations for ask in station.counts)


def sheet_json(sheet: SheetData) -> dict[str, Any]:
    """As JSON values: decimals and ids become text, so that the canonical form is exact."""
    plain: dict[str, Any] = json.loads(json.dumps(asdict(sheet), default=str))
    return plain


@lru_cache(maxsize=256)
def sheet_from_json(text: str) -> SheetData:
    """Of every sheet under way one reading: each answer asks for its own, and nothing in it ever changes."""
    data = json.loads(text)
    return SheetData(
        **{key: data[key] for key in PLAIN_KEYS},
        axles_mm=tuple(data["axles_mm"]),
        fittings=tuple(FittingSheet(**fitting) for fitting in data["fittings"]),
        stations=tuple(_station(station) for station in data["stations"]),
    )


PLAIN_KEYS = (
    "layout", "body", "length_mm", "width_mm", "height_mm", "max_mass_kg", "belted_seats", "fuel", "currency",
    "traffic_side",
)  # fmt: skip
DECIMALS = {"capacity", "resolution", "half_width", "tare_kg", "net_kg", "price"}
A = TypeVar("A")


def _station(data: Mapping[str, Any]) -> StationSheet:
    return StationSheet(
        number=data["number"],
        name=data["name"],
        where=data["where"],
        x_mm=data["x_mm"],
        y_mm=data["y_mm"],
        way=tuple((x, y) for x, y in data["way"]),
        checks=_asks(CheckAsk, data["checks"]),
        instruments=_asks(InstrumentAsk, data["instruments"]),
        kits=_asks(KitAsk, [kit | {"contents": tuple(kit["contents"])} for kit in data["kits"]]),
        counts=_asks(CountAsk, data["counts"]),
        topics=_asks(TopicAsk, [topic | {"others": _words(topic)} for topic in data["topics"]]),
        views=_asks(ViewAsk, data.get("views", [])),
    )


def _words(topic: Mapping[str, Any]) -> tuple[TopicWords, ...]:
    """A sheet kept before there were translations has none."""
    return tuple(TopicWords(**words) for words in topic.get("others", []))


def _asks(kind: type[A], rows: list[dict[str, Any]]) -> tuple[A, ...]:
    return tuple(kind(**{key: _value(key, value) for key, value in row.items()}) for row in rows)


def _value(key: str, value: Any) -> Any:
    if key in {"id", "of"} and value is not None:
        return UUID(value)
    if key in {"eye_mm", "aim_mm"}:
        return tuple(value)
    if key == "curve":
        return tuple(map(Decimal, value))
    return Decimal(value) if key in DECIMALS and value is not None else value
