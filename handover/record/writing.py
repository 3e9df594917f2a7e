"""The machine-readable record, built from the rows: everything that is printed stands in it."""

import json
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import partial
from typing import Any

from django.conf import settings

from consumables.readable import figure, in_unit
from fleet.drawing.frame import Frame
from handover.counter.models import Objection, Reopening
from handover.record.models import Record
from handover.rental.covers import covers_words
from handover.rental.models import Leg, Rental
from handover.statement.models import Signature, Statement
from handover.statement.queries import statement_page
from handover.statement.words import kit_names, line_title, summary, unit_text
from handover.walkround.document import Found, found_on, iso, marks_of, walk_document
from handover.walkround.models import Mark, WalkRound
from handover.walkround.plan import printed_plan
from shared.ledger.models import Entry

SCHEMA = "levelpeg.record/1"


def record_document(record: Record) -> tuple[dict[str, Any], str, list[Found]]:
    """The document, the plan to print, and what was found on the walk-rounds of the record's leg."""
    rental = record.rental
    leg = Leg.objects.select_related("unit__layout", "rental__branch").get(pk=record.leg_id)
    founds = [found_on(walk) for walk in _walks(record, leg)]
    plan, frame = printed_plan(founds[-1].walk.sheet.data)
    walks = [walk_document(found) for found in founds]
    _number_photos(walks)
    document = {
        "schema": SCHEMA,
        "record": _heading(record),
        "operator": _operator(rental),
        "rental": _rental(leg, founds),
        "unit": _unit(leg),
        "walk_rounds": walks,
        "marks": [_mark(row, found, frame) for found in founds[-1:] for row in marks_of(founds)],
        "signatures": [_signature(row, rental) for row in _signatures(record, founds)],
        "statement": _statement(record.statement, founds) if record.statement else None,
        "previous": _previous(record),
        "ledger": _ledger(rental),
    }
    _point_marks_at_lines(document)
    return document, plan, founds


def _point_marks_at_lines(document: dict[str, Any]) -> None:
    """A charged mark names the line of the statement that charges it."""
    lines = document["statement"]["lines"] if document["statement"] else []
    for mark in document["marks"]:
        charged = (line["number"] for line in lines if line["ref"].startswith(f"Mark {mark['number']},"))
        mark["line"] = next(charged, None)


def _number_photos(walks: list[dict[str, Any]]) -> None:
    """Once through the whole record: a photo is named by its number."""
    photos = [photo for walk in walks for photo in walk["photos"]]
    for number, photo in enumerate(photos, start=1):
        photo["number"] = number


def _walks(record: Record, leg: Leg) -> Iterable[WalkRound]:
    """A pickup record tells of the pickup alone, a return record of both."""
    kinds = ["pickup"] if record.kind == Record.Kind.PICKUP else ["pickup", "return"]
    walks = WalkRound.objects.filter(leg=leg, kind__in=kinds).select_related(
        "sheet", "before", "started_by", "leg__unit", "leg__rental__branch", "paper__ended_by"
    )
    return sorted(walks, key=lambda walk: walk.is_return)


def _heading(record: Record) -> dict[str, Any]:
    rental = record.rental
    return {
        "number": rental.number,
        "kind": record.kind,
        "version": record.version,
        "code": record.code,
        "made_at": iso(record.made_at, rental.branch.zone),
        "page_url": f"{settings.PUBLIC_URL}/check/{rental.number}/{record.code}/",
    }


def _operator(rental: Rental) -> dict[str, Any]:
    branch = rental.branch
    return {
        "name": branch.operator,
        "branch": branch.name,
        "time_zone": branch.zone,
        "currency": branch.currency,
        "locale": branch.locale,
        "distance_unit": branch.distance_unit,
    }


def _rental(leg: Leg, founds: list[Found]) -> dict[str, Any]:
    rental = leg.rental
    zone = rental.branch.zone
    back = next((found.walk.arrived_at for found in founds if found.walk.is_return), None)
    return {
        "customer": rental.customer.name,
        "drivers": [driver.name for driver in rental.drivers.all()],
        "left_at": iso(leg.started_at, zone),
        "planned_return_at": iso(rental.planned_back_at, zone),
        "came_back_at": iso(back, zone),
        "odometer_out": _odometer(founds[0]),
        "odometer_back": _odometer(founds[-1]) if back else None,
        "deposit": figure(rental.deposit_held),
        "liability": rental.liability_option,
        "excess": figure(rental.excess),
        "extras": [
            {"name": extra.name, "covers": covers_words(extra.covers), "price": figure(extra.price),
             "bought_at": iso(extra.purchased_at, zone)}
            for extra in rental.extras.all()
        ],
    }  # fmt: skip


def _odometer(found: Found) -> str | None:
    unit = found.walk.leg.rental.branch.distance_unit
    for _, ask in found.walk.sheet.data.instruments():
        reading = found.now.readings.get(ask.id)
        if ask.measures == "odometer" and reading and reading.value is not None:
            return str(round(in_unit(reading.value, unit)))
    return None


def _unit(leg: Leg) -> dict[str, Any]:
    unit, layout = leg.unit, leg.unit.layout
    return {
        "number": unit.number,
        "plate": unit.plate,
        "vin": unit.vin,
        "layout": {
            "name": layout.name,
            "length_mm": layout.length_mm,
            "width_mm": layout.width_mm,
            "height_mm": layout.height_mm,
            "max_mass_kg": layout.max_mass_kg,
        },
    }


def _mark(seen: tuple[Mark, bool, str], found: Found, frame: Frame) -> dict[str, Any]:
    mark, is_new, finding = seen
    return {
        "number": mark.number,
        "words": f"{mark.get_kind_display().lower()} {size_text(mark.size_mm)}, {mark.place}",
        "since": iso(mark.found_at, found.zone)[:10],  # type: ignore[index]
        "is_new": is_new,
        "finding": finding,
        "line": None,
        "x": f"{frame.x(mark.x_mm):.1f}",
        "y": f"{frame.y(mark.y_mm):.1f}",
    }


def size_text(size_mm: int) -> str:
    return f"{size_mm // 10} cm" if size_mm >= 10 and size_mm % 10 == 0 else f"{size_mm} mm"


def _signatures(record: Record, founds: list[Found]) -> Iterable[Signature]:
    """Those under what this record says; one under an earlier state is not carried over."""
    walks = [found.walk.pk for found in founds]
    for row in record.rental.signatures.all():
        if row.walk_id in walks or (row.statement_id and row.statement_id == record.statement_id):
            yield row


def _signature(row: Signature, rental: Rental) -> dict[str, Any]:
    return {
        "who": row.name,
        "role": row.get_role_display(),
        "act": row.walk.kind if row.walk else f"statement {row.statement.version if row.statement else ''}".strip(),
        "outcome": row.outcome,
        "reason": row.reason,
        "at": iso(row.at, rental.branch.zone),
        "content_sha256": row.content_sha256,
        "strokes": [[[point["x"], point["y"], point["t"]] for point in stroke] for stroke in row.strokes],
    }


def _statement(statement: Statement, founds: list[Found]) -> dict[str, Any]:
    result = json.loads(statement.result)
    sheet = founds[-1].walk.sheet.data
    titled = partial(line_title, names=kit_names(sheet), fuel=sheet.fuel.capitalize())
    alone = statement_page(statement.rental, version=statement.version).found_alone
    return {
        "version": statement.version,
        "drawn_up_at": iso(statement.drawn_up_at, founds[-1].zone),
        "drawn_up_by": str(statement.drawn_up_by),
        "rules_version": statement.rules_version,
        "inputs": json.loads(statement.inputs),
        "result": result,
        "lines": [
            line | {"found_alone": line["number"] in alone} for line in _lines(result, titled, statement.currency)
        ],
        "totals": _totals(statement, result),
        "no_charge": [titled(row["code"], row["ref"]) for row in result["findings"]],
        "findings": [row["sentence"] for row in result["findings"]],
        "objections": [_objection(row, founds[-1].zone) for row in _objections(statement)],
        "objection_until": statement.objection_until.isoformat() if statement.objection_until else None,
        "reopened": _reopened(statement, result, founds[-1].zone),
    }


def _objections(statement: Statement) -> Iterable[Objection]:
    """Those against this version and the ones before it: an answer may come versions later."""
    rows = Objection.objects.filter(rental=statement.rental_id, statement__version__lte=statement.version)
    return rows.prefetch_related("outcomes").order_by("at", "id")


def _objection(row: Objection, zone: str) -> dict[str, Any]:
    answers = list(row.outcomes.all())
    return {
        "line": row.title,
        "words": row.words,
        "outcome": answers[-1].get_outcome_display() if answers else "",
        "answer": answers[-1].words if answers else "",
        "at": iso(row.at, zone),
    }


def _reopened(statement: Statement, result: Mapping[str, Any], zone: str) -> dict[str, Any] | None:
    """What opened the version before this one again; null for a statement that never was."""
    opened = Reopening.objects.filter(rental=statement.rental_id, statement__version__lt=statement.version)
    last = opened.select_related("statement", "by").order_by("at", "id").last()
    if last is None:
        return None
    return {
        "version": last.statement.version,
        "cause": last.get_cause_display(),
        "words": last.words,
        "by": str(last.by),
        "at": iso(last.at, zone),
        "difference": result["totals"].get("delta"),
    }


def _lines(result: Mapping[str, Any], titled: Callable[[str, str], str], currency: str) -> Iterable[dict[str, Any]]:
    pairs = zip(result["lines"], result["workings"], strict=True)
    for number, (line, workings) in enumerate(pairs, start=1):
        yield _line(number, line, workings["steps"], title=titled(line["code"], line["ref"]), currency=currency)


def _line(
    number: int, line: Mapping[str, Any], steps: list[dict[str, str]], *, title: str, currency: str
) -> dict[str, Any]:
    kinds = {"figure": "step", "cover": "step", "subtotal": "result", "due": "due"}
    return {
        "number": number,
        "code": line["code"],
        "ref": line["ref"],
        "title": title,
        "summary": summary(steps, currency),
        "raw": line["raw"],
        "covered": line["covered"],
        "due": line["amount"],
        "tax": line["tax"],
        "workings": [
            {
                "kind": kinds[step["kind"]],
                "sign": step["sign"],
                "figure": step["quantity"],
                "unit": unit_text(step["unit"], currency),
                "source": step["label"],
            }
            for step in steps
        ],
    }  # fmt: skip


def _totals(statement: Statement, result: Mapping[str, Any]) -> dict[str, Any]:
    totals, branch = result["totals"], statement.rental.branch
    raw = sum_text(line["raw"] for line in result["lines"])
    covered = sum_text(line["covered"] for line in result["lines"])
    names = ("deposit_held", "deposit_captured", "deposit_released", "balance_due", "refund_due")
    return {
        "raw": raw,
        "covered": covered,
        "total": totals["total"],
        "tax": totals["tax"],
        "tax_name": branch.tax_name,
        "tax_mode": json.loads(statement.inputs)["tax"]["mode"],
    } | {name: totals.get(name, "0") for name in names}


def sum_text(amounts: Iterable[str]) -> str:
    return str(sum((Decimal(amount) for amount in amounts), Decimal(0)))


def _previous(record: Record) -> dict[str, Any] | None:
    earlier = previous_record(record)
    if earlier is None:
        return None
    return {
        "number": record.rental.number,
        "kind": earlier.kind,
        "version": earlier.version,
        "sha256": earlier.pdf_sha256,
    }


def previous_record(record: Record) -> Record | None:
    """The record ordered before this one for the same rental."""
    earlier = Record.objects.filter(rental=record.rental, state=Record.State.READY, made_at__lt=record.made_at)
    return earlier.order_by("made_at").last()


def _ledger(rental: Rental) -> dict[str, Any]:
    last = Entry.objects.filter(chain=rental.pk).order_by("sequence").last()
    if last is None:
        raise LookupError(f"{rental.number} is not in the ledger; its booking is its first entry.")
    return {
        "chain": str(rental.pk),
        "first": 1,
        "last": last.sequence,
        "digest": last.digest,
        "day_seal": None,
    }
