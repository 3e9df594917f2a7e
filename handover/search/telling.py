"""What of a row is found, and where it stands: read from the row as the database has it."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import reduce
from typing import Any
from uuid import UUID

from django.db.models import Model

from fleet.models import Branch, Unit
from handover.damage.models import Grouping
from handover.record.models import Record
from handover.rental.models import Driver, Leg, Rental
from handover.retention.words import is_gone
from handover.search.kinds import Kind
from handover.search.sources import BY_MODEL, MADE, NAME, RENTAL, UNIT, Source
from handover.statement.models import Statement
from handover.statement.words import line_title
from handover.walkround.models import Mark
from shared.clock import local
from shared.phrasebook import in_house_language


@dataclass(frozen=True, slots=True)
class Told:
    """One row of the search: its places, and the texts by the way in which they are found."""

    source: str
    of: UUID
    branch: Branch
    day: date
    target: UUID
    rental: Rental | None = None
    unit: Unit | None = None
    until: date | None = None
    detail: int = 0
    numbers: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    words: tuple[str, ...] = ()

    @property
    def kind(self) -> Kind:
        return BY_MODEL[self.source].kind if self.source in BY_MODEL else MADE[self.source][0]

    @property
    def text(self) -> str:
        """A line for each text, none twice."""
        return "\n".join(dict.fromkeys((*self.numbers, *self.names, *self.words)))


def told_of(row: Model) -> list[Told]:
    """Empty for what holds nothing to find: a check without a note, words that were erased."""
    name = type(row).__name__
    if isinstance(row, Rental):
        return of_rental(row)
    if maker := MAKERS.get(name):
        return maker(row)
    source = BY_MODEL[name]
    numbers, words = _texts(row, source.numbers), _texts(row, source.words)
    return [_placed(row, source, numbers, words)] if numbers or words else []


def _placed(row: Any, source: Source, numbers: tuple[str, ...], words: tuple[str, ...]) -> Told:
    rental: Any = _at(row, source.rental) if source.rental else None
    unit: Any = _at(row, source.unit) if source.unit else None
    branch: Branch = (rental or unit or row).branch
    return Told(
        source.model, row.pk, branch, _day(_at(row, source.at), branch), _at(row, source.target), rental, unit,
        numbers=numbers, words=words,
    )  # fmt: skip


def _texts(row: Any, columns: Iterable[str]) -> tuple[str, ...]:
    return tuple(_standing(str(getattr(row, column)) for column in columns))


def _standing(texts: Iterable[str]) -> Iterator[str]:
    """One line each, without what was erased."""
    yield from (" ".join(text.split()) for text in texts if text.strip() and not is_gone(text))


def _at(row: Any, path: str) -> Any:
    return reduce(getattr, path.split("."), row)


def _day(when: datetime, branch: Branch) -> date:
    return local(when, branch.zone).date()


def of_rental(rental: Rental) -> list[Told]:
    """As the database has it now, whatever the object has read before. Two queries."""
    return of_whole_rental(rental, rental.legs.select_related("unit"), rental.drivers.order_by("pk"))


def of_whole_rental(rental: Rental, legs: Iterable[Leg], drivers: Iterable[Driver]) -> list[Told]:
    """The rental by its numbers and its units', its people by their names."""
    branch = rental.branch
    units = [text for leg in legs for text in (leg.unit.plate, leg.unit.number)]
    people = [rental.customer.name, *(driver.name for driver in drivers)]
    out, back = _day(rental.planned_out_at, branch), _day(rental.planned_back_at, branch)
    numbers = tuple(_standing([rental.number, rental.outside_reference, *units]))
    names = tuple(dict.fromkeys(_standing(people)))
    found = [Told(RENTAL, rental.pk, branch, out, rental.pk, rental, until=back, numbers=numbers)]
    if names:
        found.append(Told(NAME, rental.pk, branch, out, rental.pk, rental, until=back, names=names))
    return found


def _of_unit(unit: Unit) -> list[Told]:
    seals = unit.kits.order_by("pk").values_list("seal_number", flat=True)
    numbers = tuple(_standing([unit.plate, unit.number, unit.vin, *seals]))
    return [Told(UNIT, unit.pk, unit.branch, unit.in_service_on, unit.pk, unit=unit, numbers=numbers)]


def _of_record(record: Record) -> list[Told]:
    rental = record.rental
    numbers = tuple(_standing([rental.number, record.code, record.pdf_sha256]))
    day = _day(record.made_at, rental.branch)
    return [Told("Record", record.pk, rental.branch, day, record.pk, rental, numbers=numbers)]


def _of_statement(statement: Statement) -> list[Told]:
    rental = statement.rental
    return [
        Told(
            "Statement", statement.pk, rental.branch, _day(statement.drawn_up_at, rental.branch), rental.pk, rental,
            detail=statement.version, numbers=(rental.number,), words=tuple(dict.fromkeys(_titles(statement.result))),
        )
    ]  # fmt: skip


@in_house_language
def _titles(result: str) -> list[str]:
    """Of its lines; what is kept is in the house language, as the lines are in the Record."""
    lines: list[Mapping[str, str]] = json.loads(result).get("lines", [])
    return list(_standing(line_title(line["code"], line["ref"]) for line in lines))


def _of_mark(mark: Mark) -> list[Told]:
    """Of the rental on which it was found; of the unit where the yard found it."""
    walk, unit = mark.found_on, mark.unit
    rental = walk.leg.rental if walk else None
    branch = rental.branch if rental else unit.branch
    return [
        Told(
            "Mark", mark.pk, branch, _day(mark.found_at, branch), rental.pk if rental else unit.pk, rental, unit,
            numbers=(f"{unit.number} {mark.number}",), words=_mark_words(mark),
        )
    ]  # fmt: skip


@in_house_language
def _mark_words(mark: Mark) -> tuple[str, ...]:
    return tuple(_standing([mark.place, mark.get_kind_display(), mark.get_part_display()]))


def _of_grouping(row: Grouping) -> list[Told]:
    said = [row.reason, *(event.get(name, "") for event in row.events for name in ("cause", "place"))]
    words = tuple(dict.fromkeys(_standing(said)))
    branch = row.rental.branch
    found = Told("Grouping", row.pk, branch, _day(row.at, branch), row.rental_id, row.rental, words=words)
    return [found] if words else []


MAKERS: Mapping[str, Callable[[Any], list[Told]]] = {
    "Unit": _of_unit,
    "Record": _of_record,
    "Statement": _of_statement,
    "Mark": _of_mark,
    "Grouping": _of_grouping,
}
