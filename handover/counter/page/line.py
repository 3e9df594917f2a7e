"""One line: what stands against it, what was taken off, the readings it rests on."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from handover.counter.fetching import Place, photos_of, place_of, read_off
from handover.counter.limits import waiver_limits
from handover.counter.models import Correction, Objection, Waiver
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.statement.lines import LineRow
from handover.statement.models import Statement
from handover.statement.queries import statement_page
from handover.walkround.models import Reading
from handover.walkround.page.figures import spoken
from shared.access.models import Person
from shared.access.roles import Right
from shared.money import money_text
from shared.phrasebook import inside


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
    # The page of a waiver's own line shows what stands behind it.
    mine = {"rental": rental, "ref": line.ref} | ({} if line.code == "WAIVER" else {"code": line.code})
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
    )  # fmt: skip


def _limit(rental: Rental, person: Person) -> str:
    limits = waiver_limits((rental.frozen or {}).get("rules", {}))
    limit = limits.get(person.role, "0")
    return "" if limit is None else money_text(Decimal(limit), rental.currency)


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
        name=f"{spoken(ask)}, {inside(reading.walk.get_kind_display())}",
        unit=ask.unit if ask.measures != "odometer" else unit,
        read=read_off(ask, reading.value, unit),
        now=read_off(ask, correction.value if correction else reading.value, unit),
        corrected=correction,
        may_correct=person.may(Right.SETTLE if reading.walk.is_return else Right.REOPEN),
    )
