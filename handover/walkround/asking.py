"""Builds the sheet of a walk-round from the layout and what differs in this unit."""

from collections import defaultdict
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from django.db.models import Model, Prefetch, QuerySet

from consumables.curves import curves_on
from consumables.models import TankCurve
from fleet.models import (
    CheckItem,
    Equipment,
    Instrument,
    Kit,
    Layout,
    PhotoView,
    Station,
    Topic,
    TopicText,
    Unit,
    UnitInstrument,
    UnitKit,
)
from handover.walkround.kerb import kerb_first
from handover.walkround.models import Sheet
from handover.walkround.sheet import (
    CheckAsk,
    CountAsk,
    FittingSheet,
    InstrumentAsk,
    KitAsk,
    SheetData,
    StationSheet,
    TopicAsk,
    TopicWords,
    ViewAsk,
    sheet_json,
)
from shared.canonical import canonical_text, sha256_hex

M = TypeVar("M", bound=Model)
TEXTS = Prefetch("texts", queryset=TopicText.objects.order_by("language"))


def keep_sheet(unit: Unit, *, today: date) -> Sheet:
    """The sheet of this unit today, stored once under its digest."""
    asked = sheet_today(unit, today=today)
    sheet, _ = Sheet.objects.get_or_create(digest=asked.digest, defaults={"text": asked.text})
    return sheet


def sheet_today(unit: Unit, *, today: date) -> Sheet:
    """What would be asked if the walk-round began today; not stored."""
    text = canonical_text(sheet_json(sheet_of(unit, today=today)))
    return Sheet(digest=sha256_hex(text.encode()), text=text)


def sheet_of(unit: Unit, *, today: date) -> SheetData:
    layout = unit.layout
    return SheetData(
        layout=layout.name,
        body=layout.body,
        length_mm=layout.length_mm,
        width_mm=layout.width_mm,
        height_mm=layout.height_mm,
        axles_mm=tuple(layout.axles_mm),
        max_mass_kg=layout.max_mass_kg,
        belted_seats=layout.belted_seats,
        fuel=layout.fuel,
        currency=layout.currency,
        traffic_side=unit.branch.traffic_side,
        fittings=tuple(_fitting(row) for row in layout.fittings.all()),
        stations=kerb_first(
            _stations(unit, layout, today),
            width_mm=layout.width_mm,
            length_mm=layout.length_mm,
            drawn_for=layout.traffic_side,
            traffic_side=unit.branch.traffic_side,
        ),
    )


def _fitting(row: Any) -> FittingSheet:
    return FittingSheet(
        kind=row.kind, x_mm=row.x_mm, y_mm=row.y_mm, w_mm=row.w_mm, h_mm=row.h_mm, turn=row.turn
    )  # fmt: skip


def _stations(unit: Unit, layout: Layout, today: date) -> tuple[StationSheet, ...]:
    overrides = {row.instrument_id: row for row in unit.overrides.all()}
    kits = {row.kit_id: row for row in unit.kits.all()}
    curves = curves_on(unit, today)
    age = _whole_months(unit.in_service_on, today)
    checks = _by_station(CheckItem.objects.all(), layout)
    instruments = _by_station(Instrument.objects.all(), layout)
    kit_items = _by_station(Kit.objects.all(), layout)
    equipment = _by_station(Equipment.objects.all(), layout)
    topics = _by_station(Topic.objects.prefetch_related(TEXTS), layout)
    views = _by_station(PhotoView.objects.all(), layout)
    return tuple(
        StationSheet(
            number=station.number,
            name=station.name,
            where=station.where,
            x_mm=station.x_mm,
            y_mm=station.y_mm,
            way=tuple((x, y) for x, y in station.way),
            checks=tuple(_check(row) for row in checks[station.pk]),
            instruments=tuple(
                _instrument(row, overrides.get(row.pk), curves.get(row.code)) for row in instruments[station.pk]
            ),
            kits=tuple(_kit(row, kits.get(row.pk)) for row in kit_items[station.pk]),
            counts=tuple(_count(row, age) for row in equipment[station.pk]),
            topics=tuple(_topic(row) for row in topics[station.pk]),
            views=tuple(_view(row, instruments[station.pk]) for row in views[station.pk]),
        )
        for station in Station.objects.filter(layout=layout)
    )


def _by_station(rows: QuerySet[M], layout: Layout) -> dict[Any, list[M]]:
    found: dict[Any, list[M]] = defaultdict(list)
    for row in rows.filter(station__layout=layout, retired=False):
        found[row.station_id].append(row)  # type: ignore[attr-defined]
    return found


def _check(row: CheckItem) -> CheckAsk:
    return CheckAsk(
        id=row.pk, text=row.text, hint=row.hint, good=row.good, bad=row.bad, safety=row.safety,
        stop_sentence=row.stop_sentence, at=row.at,
    )  # fmt: skip


def _instrument(row: Instrument, own: UnitInstrument | None, valid: TankCurve | None) -> InstrumentAsk:
    def pick(name: str) -> Any:
        override = getattr(own, name, None)
        return getattr(row, name) if override is None else override

    return InstrumentAsk(
        id=row.pk, code=row.code, name=row.name, instrument=row.instrument, measures=row.measures, unit=row.unit,
        capacity=pick("capacity"), steps=row.steps, resolution=row.resolution, half_width=pick("half_width"),
        tare_kg=pick("tare_kg"), net_kg=pick("net_kg"), serial=own.serial if own else "", hint=row.hint, at=row.at,
        **_curve(valid, pick("capacity")),
    )  # fmt: skip


def _curve(valid: TankCurve | None, capacity: Decimal | None) -> dict[str, Any]:
    """A curve of another tank than the one that is kept now says nothing of it."""
    if valid is None or not valid.is_learned or valid.curve.capacity != capacity:
        return {}
    return {"curve": valid.curve.litres, "curve_from": valid.valid_from.isoformat()}


def _kit(row: Kit, own: UnitKit | None) -> KitAsk:
    return KitAsk(
        id=row.pk, code=row.code, name=row.name, sealed=row.sealed, contents=tuple(row.contents),
        seal_number=own.seal_number if own else "",
        expires_on=own.expires_on.isoformat() if own and own.expires_on else "",
    )  # fmt: skip


def _count(row: Equipment, age_months: int) -> CountAsk:
    return CountAsk(
        id=row.pk, code=row.code, name=row.name, quantity=row.quantity, price=row.price, life_months=row.life_months,
        age_months=age_months, age_reduced=row.age_reduced,
    )  # fmt: skip


def _topic(row: Topic) -> TopicAsk:
    return TopicAsk(
        id=row.pk, severity=row.severity, title=row.title, text=row.text, code=row.code,
        others=tuple(_words(text) for text in row.texts.all()),
    )  # fmt: skip


def _words(text: TopicText) -> TopicWords:
    state = "approved" if text.is_approved else "draft"
    return TopicWords(language=text.language, title=text.title, text=text.text, state=state)


def _view(row: PhotoView, instruments: list[Instrument]) -> ViewAsk:
    return ViewAsk(
        id=row.pk, code=row.code, name=row.name, shows=row.shows, eye_mm=(row.eye_x_mm, row.eye_y_mm),
        aim_mm=(row.aim_x_mm, row.aim_y_mm), at=row.at,
        of=next((ask.pk for ask in instruments if row.reads and ask.code == row.reads), None),
    )  # fmt: skip


def _whole_months(start: date, end: date) -> int:
    return max(0, (end.year - start.year) * 12 + end.month - start.month - (end.day < start.day))
