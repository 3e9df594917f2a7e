"""What the counter's own pages show, each in a fixed number of queries."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.urls import reverse

from handover.acting import CannotBe
from handover.counter.guard import BEING_LOOKED_AT, cut_off
from handover.counter.limits import waiver_limits
from handover.counter.lines import due_on, latest_statement, result_of
from handover.counter.models import (
    Correction,
    ItemFinding,
    KitUse,
    Objection,
    ObjectionOutcome,
    Soiling,
    TankFinding,
    Waiver,
)
from handover.photo.models import Photo
from handover.rental.models import Leg, Rental
from handover.statement.lines import LineRow
from handover.statement.models import Statement
from handover.statement.queries import statement_page
from handover.walkround.levels import shown
from handover.walkround.models import Reading, SealCheck, WalkRound
from handover.walkround.page.figures import spoken
from handover.walkround.sheet import CountAsk, InstrumentAsk, KitAsk
from shared.access.models import Person
from shared.access.roles import Right
from shared.access.scope import scoped
from shared.money import money_text


@dataclass(frozen=True, slots=True)
class Place:
    """Where a page of the counter stands: whose rental, which unit, where back leads."""

    rental: Rental
    leg: Leg
    back_href: str
    back_words: str


def rental_of(person: Person, pk: UUID) -> Rental:
    """Raises Http404 for what is not at the person's branches."""
    rows = Rental.objects.select_related("branch", "customer")
    return get_object_or_404(scoped(rows, person), pk=pk)


def statement_of(person: Person, pk: UUID) -> Statement:
    rows = Statement.objects.select_related("rental__branch", "rental__customer")
    return get_object_or_404(scoped(rows, person, "rental__branch"), pk=pk)


def waiver_of(person: Person, pk: UUID) -> Waiver:
    rows = Waiver.objects.select_related("rental__branch", "rental__customer")
    return get_object_or_404(scoped(rows, person, "rental__branch"), pk=pk)


def objection_of(person: Person, pk: UUID) -> Objection:
    rows = Objection.objects.select_related("rental__branch", "rental__customer", "by")
    return get_object_or_404(scoped(rows, person, "rental__branch"), pk=pk)


def reading_of(person: Person, pk: UUID) -> Reading:
    rows = Reading.objects.select_related("walk__leg__rental__branch", "walk__leg__unit", "walk__sheet", "walk__before")
    return get_object_or_404(scoped(rows, person, "walk__leg__rental__branch"), pk=pk)


def place_of(rental: Rental) -> Place:
    leg = rental.legs.select_related("unit").last()
    assert leg is not None  # noqa: S101 - a rental is made with its first leg
    return Place(rental, leg, reverse("statement", args=[rental.pk]), "Statement")


@dataclass(frozen=True, slots=True)
class CorrectableReading:
    """A reading that a line rests on. `now` is the value that counts, `read` what was read."""

    reading: Reading
    name: str
    unit: str
    read: str
    now: str
    corrected: Correction | None
    may_correct: bool


@dataclass(frozen=True, slots=True)
class LinePage:
    place: Place
    statement: Statement
    line: LineRow
    is_latest: bool
    may_decide: bool
    waivers: Sequence[Waiver]
    objections: Sequence[Objection]
    readings: Sequence[CorrectableReading]
    photos: Sequence[Photo]
    limit: str
    until: datetime | None

    @property
    def rental(self) -> Rental:
        return self.place.rental

    @property
    def may_waive(self) -> bool:
        return self.may_decide and self.line.due > 0


def line_page(statement: Statement, number: int, person: Person) -> LinePage | None:
    """None when the statement has no such line. Call it with the branch's zone active."""
    rental = statement.rental
    page = statement_page(rental, version=statement.version)
    if not 1 <= number <= len(page.lines):
        return None
    line = page.lines[number - 1]
    mine = {"rental": rental, "code": line.code, "ref": line.ref}
    return LinePage(
        place=place_of(rental),
        statement=statement,
        line=line,
        is_latest=page.is_latest,
        may_decide=page.is_latest and rental.state == Rental.State.BACK and person.may(Right.WAIVE),
        waivers=list(Waiver.objects.filter(**mine).select_related("by", "second", "withdrawn_by")),
        objections=list(
            Objection.objects.filter(**mine).select_related("by").prefetch_related("outcomes__by")
        ),
        readings=_correctable(statement, number, person),
        photos=photos_of(rental),
        limit=_limit(rental, person),
        until=cut_off(rental),
    )  # fmt: skip


def _limit(rental: Rental, person: Person) -> str:
    limits = waiver_limits((rental.frozen or {}).get("rules", {}))
    limit = limits.get(person.role, "0")
    return "" if limit is None else money_text(Decimal(limit), rental.currency)


def photos_of(rental: Rental) -> list[Photo]:
    """Of its returns, the latest first: what the counter's decisions rest on."""
    return list(Photo.objects.filter(walk__leg__rental=rental, walk__kind="return").order_by("-at", "-id"))


def _correctable(statement: Statement, number: int, person: Person) -> list[CorrectableReading]:
    """The readings that stand in the Workings of a line, in their order."""
    inputs, result = json.loads(statement.inputs), json.loads(statement.result)
    answers = _answers(inputs.get("sources", {}), result["workings"][number - 1]["steps"])
    rows = Reading.objects.filter(pk__in=answers).select_related("walk__sheet", "walk__leg__rental__branch", "by")
    corrections = {row.reading_id: row for row in Correction.objects.filter(reading__in=answers).select_related("by")}
    found = {row.pk: row for row in rows}
    return [
        _one(found[pk], corrections.get(pk), person) for pk in answers if pk in found and found[pk].value is not None
    ]


def _answers(sources: Mapping[str, Any], steps: Sequence[Mapping[str, str]]) -> list[UUID]:
    paths = [step["source"] for step in steps]
    return [UUID(sources[path]["answer"]) for path in dict.fromkeys(paths) if sources.get(path, {}).get("answer")]


def _one(reading: Reading, correction: Correction | None, person: Person) -> CorrectableReading:
    ask = next(ask for _, ask in reading.walk.sheet.data.instruments() if ask.id == reading.item_id)
    unit = reading.walk.leg.rental.branch.distance_unit
    return CorrectableReading(
        reading=reading,
        name=f"{spoken(ask)}, {reading.walk.get_kind_display().lower()}",
        unit=ask.unit if ask.measures != "odometer" else unit,
        read=_value(ask, reading.value, unit),
        now=_value(ask, correction.value if correction else reading.value, unit),
        corrected=correction,
        may_correct=person.may(Right.SETTLE if reading.walk.is_return else Right.REOPEN),
    )


def _value(ask: InstrumentAsk, value: Decimal | None, distance_unit: str) -> str:
    """As it is read off: a cylinder's gross mass, not its content."""
    if value is None:
        return ""
    if ask.measures == "gas":
        return f"{value.normalize():f} kg gross"
    return shown(ask, value, distance_unit=distance_unit).text


@dataclass(frozen=True, slots=True)
class ZoneRow:
    zone: str
    name: str
    found: Soiling | None
    price: str


@dataclass(frozen=True, slots=True)
class KitRow:
    ask: KitAsk
    use: KitUse | None


@dataclass(frozen=True, slots=True)
class ItemRow:
    ask: CountAsk
    counted: str
    found: ItemFinding | None


@dataclass(frozen=True, slots=True)
class FoundPage:
    place: Place
    zones: Sequence[ZoneRow]
    tanks: TankFinding | None
    kits: Sequence[KitRow]
    items: Sequence[ItemRow]
    asks: Sequence[CountAsk]
    photos: Sequence[Photo]
    may_note: bool
    until: datetime | None
    walk: WalkRound | None

    @property
    def rental(self) -> Rental:
        return self.place.rental


def found_page(rental: Rental, person: Person) -> FoundPage:
    """What was found besides levels and marks; `walk` None: the return has not begun."""
    walk = (
        WalkRound.objects.filter(leg__rental=rental, kind="return")
        .select_related("sheet")
        .order_by("leg__number")
        .last()
    )
    sheet = walk.sheet.data if walk else None
    soiled = {
        row.zone: row for row in Soiling.objects.filter(rental=rental).select_related("by").prefetch_related("photos")
    }
    return FoundPage(
        place=place_of(rental),
        zones=[
            ZoneRow(value, str(name), soiled.get(value), _prices(rental, value)) for value, name in Soiling.Zone.choices
        ],
        tanks=TankFinding.objects.filter(rental=rental).select_related("by").prefetch_related("photos").last(),
        kits=_kits(rental, walk, [ask for _, ask in sheet.kits()] if sheet else []),
        items=_items(rental, walk, [ask for _, ask in sheet.counts()] if sheet else []),
        asks=[ask for _, ask in sheet.counts()] if sheet else [],
        photos=photos_of(rental),
        may_note=rental.state in BEING_LOOKED_AT and person.may(Right.RETURN),
        until=cut_off(rental),
        walk=walk,
    )


def _prices(rental: Rental, zone: str) -> str:
    """standard £55.00, heavy £140.00: what the frozen rate card says of a zone."""
    rate = (rental.frozen or {}).get("rules", {}).get("cleaning", {}).get(zone, {})
    known = [(tier, rate[tier]) for tier in ("standard", "heavy", "specialist") if rate.get(tier) is not None]
    return ", ".join(f"{tier} {money_text(Decimal(str(price)), rental.currency)}" for tier, price in known)


def _kits(rental: Rental, walk: WalkRound | None, asks: Sequence[KitAsk]) -> list[KitRow]:
    """The kits that were opened."""
    uses = {row.kit: row for row in KitUse.objects.filter(rental=rental).select_related("by")}
    opened = (
        set(SealCheck.objects.filter(walk=walk, state="broken").values_list("item_id", flat=True)) if walk else set()
    )
    return [KitRow(ask, uses.get(ask.code)) for ask in asks if ask.id in opened or ask.code in uses]


def _items(rental: Rental, walk: WalkRound | None, asks: Sequence[CountAsk]) -> list[ItemRow]:
    """The things that are short, or that something was noted about."""
    found = {
        row.item_id: row
        for row in ItemFinding.objects.filter(rental=rental).select_related("by").prefetch_related("photos")
    }
    counts = {row.item_id: row.present for row in walk.counts.all()} if walk else {}
    short = {ask.id for ask in asks if (present := counts.get(ask.id)) is not None and present < ask.quantity}
    return [
        ItemRow(ask, _counted(counts.get(ask.id), ask.quantity), found.get(ask.id))
        for ask in asks
        if ask.id in found or ask.id in short
    ]


def _counted(present: int | None, belong: int) -> str:
    return f"not counted, {belong} belong" if present is None else f"{present} of {belong}"


@dataclass(frozen=True, slots=True)
class AgainPage:
    """`gauges` pairs each fuel gauge with its last reading in words."""

    place: Place
    gauges: Sequence[tuple[InstrumentAsk, str]]
    may_read: bool

    @property
    def rental(self) -> Rental:
        return self.place.rental


def again_page(rental: Rental, person: Person) -> AgainPage:
    walk = (
        WalkRound.objects.filter(leg__rental=rental, kind="return")
        .select_related("sheet")
        .order_by("leg__number")
        .last()
    )
    asks = [ask for _, ask in walk.sheet.data.instruments() if ask.measures == "fuel"] if walk else []
    last = {row.item_id: row.value for row in walk.readings.all()} if walk else {}
    unit = rental.branch.distance_unit
    return AgainPage(
        place=place_of(rental),
        gauges=[(ask, _value(ask, last.get(ask.id), unit) or "not read") for ask in asks],
        may_read=rental.state == Rental.State.BACK and person.may(Right.SETTLE),
    )


@dataclass(frozen=True, slots=True)
class ObjectionPage:
    """`due` is what stands on the line now; None when it is set aside or gone."""

    place: Place
    objection: Objection
    outcomes: Sequence[ObjectionOutcome]
    due: Decimal | None
    may_answer: bool


def objection_page(objection: Objection, person: Person) -> ObjectionPage:
    rental = objection.rental
    try:
        due = due_on(result_of(latest_statement(rental)), objection.code, objection.ref)
    except CannotBe:
        due = None
    return ObjectionPage(
        place=place_of(rental),
        objection=objection,
        outcomes=list(objection.outcomes.select_related("by")),
        due=due,
        may_answer=rental.state == Rental.State.BACK and person.may(Right.SETTLE),
    )
