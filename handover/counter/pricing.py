"""What the counter adds to a pricing document: findings without an instrument, decisions, the version before."""

from collections.abc import Callable, Iterator
from typing import Any
from uuid import UUID

from consumables.readable import figure
from handover.charges.document.checks import held_at
from handover.charges.rules.excess import CONTAMINATED_WATER
from handover.counter.desk import Desk
from handover.counter.limits import waiver_limits
from handover.counter.models import Credit, ItemFinding, KitUse, ObjectionOutcome, Soiling, TankFinding, Waiver
from handover.counter.models.act import CounterRow
from handover.rental.models import Rental
from handover.statement.equipment import item_entry, price_of
from handover.walkround.sheet import CountAsk, SheetData
from shared.clock import local

Document = dict[str, Any]


def with_desk(document: Document, desk: Desk, sheet: SheetData) -> Document:
    """The document with everything of the desk in it. `sheet` is the last leg's; the document given is not changed."""
    changed = document | {"sources": dict(document["sources"])}
    for part in PARTS:
        changed = part(changed, desk, sheet)
    return changed


def _with_cleaning(document: Document, desk: Desk, _: SheetData) -> Document:
    """A zone without a photo is not inspected: null, and no charge rests on it."""
    if not desk.soiling:
        return document
    zones: dict[str, Any] = {}
    for zone, row in desk.soiling.items():
        proven = row.tier == Soiling.Tier.NONE or row.photos.all()
        zones[zone] = ({"tier": row.tier} | ({"cause": row.cause} if row.cause else {})) if proven else None
        _note(document, f"cleaning.{zone}.tier", row, instrument="eye")
    return document | {"cleaning": zones}


def _with_tanks(document: Document, desk: Desk, _: SheetData) -> Document:
    row = desk.tanks
    if row is None or not row.photos.all():
        return document
    waste = dict(document.get("waste", {}))
    if row.rubbish_bags:
        waste["rubbish_bags"] = row.rubbish_bags
        _note(document, "waste.rubbish_bags", row, instrument="count")
    if not row.toilet_rinsed:
        waste["toilet_rinsed"] = False
        _note(document, "waste.toilet_rinsed", row, instrument="eye")
    changed = document | ({"waste": waste} if waste else {})
    return changed | {"events": [*changed.get("events", []), _foul_water(document, row)]} if row.foul_water else changed


def _foul_water(document: Document, row: TankFinding) -> Document:
    """Something other than water in the fresh tank is damage, and no option covers it."""
    item: Document = {"part": "fresh water tank", "ref": f"Fresh water tank, {row.foul_water}"}
    if row.foul_water_repair is not None:
        item["estimate"] = figure(row.foul_water_repair)
    path = f"events[{len(document.get('events', []))}].items[0]"
    for name in ("size_mm", "estimate"):
        _note(document, f"{path}.{name}", row, instrument="eye and nose")
    return {"id": "W1", "cause": CONTAMINATED_WATER, "items": [item]}


def _with_kits(document: Document, desk: Desk, _: SheetData) -> Document:
    if not desk.kits:
        return document
    return document | {"kits": [kit | _report(desk.kits.get(kit["kit"])) for kit in document["kits"]]}


def _report(row: KitUse | None) -> Document:
    if row is None or row.report == KitUse.Report.NONE:
        return {}
    return {f"{row.report}_report": True}


def _with_items(document: Document, desk: Desk, sheet: SheetData) -> Document:
    asks = {ask.id: ask for _, ask in sheet.counts()}
    entries = {entry["item"]: entry for entry in document["equipment"]}
    for item, row in desk.items.items():
        if item in asks:
            _put_item(entries, asks[item], row, sheet, desk)
    changed = document | {"equipment": list(entries.values())}
    for number, name in enumerate(entries):
        for item, row in desk.items.items():
            if item in asks and asks[item].name == name and row.state != ItemFinding.State.AS_COUNTED:
                _note(changed, f"equipment[{number}].qty", row, instrument="count")
    return changed


def _put_item(
    entries: dict[str, Document], ask: CountAsk, row: ItemFinding, sheet: SheetData, desk: Desk
) -> None:  # fmt: skip
    frozen = desk.rental.frozen or {}
    entry = entries.get(ask.name)
    if row.state == ItemFinding.State.CAME_BACK and entry is not None:
        entries[ask.name] = entry | {"returned_after_days": _days_after_return(desk.rental, row)}
    elif row.state == ItemFinding.State.BROKEN and row.photos.all():
        price = price_of(ask, sheet, frozen)
        missing = entry["qty"] if entry else 0
        if price is not None:
            repair = {} if row.repair is None or missing else {"repair": figure(row.repair)}
            entries[ask.name] = item_entry(ask, missing + row.quantity, price) | repair


def _days_after_return(rental: Rental, row: ItemFinding) -> int:
    """Whole days between the local dates; the day of the return itself is 0."""
    leg = rental.legs.last()
    returned = local((leg.ended_at if leg else None) or row.at, rental.branch.zone).date()
    return max(0, ((row.came_back_on or returned) - returned).days)


def _with_waivers(document: Document, desk: Desk, _: SheetData) -> Document:
    if not desk.waivers:
        return document
    limits = {"waivers": {"limits": waiver_limits((desk.rental.frozen or {}).get("rules", {}))}}
    for number, row in enumerate(desk.waivers):
        _note(document, f"waivers[{number}].{'percent' if row.percent is not None else 'amount'}", row)
    return document | {"rules": document["rules"] | limits, "waivers": [_waiver(row) for row in desk.waivers]}


def _waiver(row: Waiver) -> Document:
    by_what = {"percent": figure(row.percent)} if row.percent is not None else {"amount": figure(row.amount or 0)}
    second = {"second_approver": str(row.second), "second_role": row.second.role} if row.second else {}
    reason = ": ".join(filter(None, (row.get_reason_display(), row.words)))
    return (
        {"code": row.code, "ref": row.ref, "reason": reason, "approver": str(row.by), "role": row.by.role}
        | by_what
        | second
    )


def _with_deferred(document: Document, desk: Desk, _: SheetData) -> Document:
    if not desk.deferred:
        return document
    return document | {"deferred": [*document.get("deferred", []), *(_waiting(row) for row in desk.deferred)]}


def _waiting(row: ObjectionOutcome) -> Document:
    return {
        "code": row.objection.code,
        "ref": row.objection.ref,
        "max": figure(row.most or 0),
        "until": row.until.isoformat() if row.until else None,
        "awaiting": row.words,
    }


def _with_credits(document: Document, desk: Desk, _: SheetData) -> Document:
    if not desk.credits_given:
        return document
    for number, row in enumerate(desk.credits_given):
        _note(document, f"credits[{number}].amount", row)
    return document | {"credits": [_credit(number, row) for number, row in enumerate(desk.credits_given, start=1)]}


def _credit(number: int, row: Credit) -> Document:
    ref = f"credit {number}"
    return {"code": row.kind, "ref": ref, "amount": figure(row.amount), "reason": row.words, "approver": str(row.by)}


def _with_version_before(document: Document, desk: Desk, _: SheetData) -> Document:
    if desk.reopening is None:
        return document
    before = desk.reopening.statement
    return document | {"previous_settlement": {"version": before.version, "total": figure(before.total)}}


Part = Callable[[Document, Desk, SheetData], Document]
PARTS: tuple[Part, ...] = (
    _with_cleaning,
    _with_tanks,
    _with_kits,
    _with_items,
    _with_waivers,
    _with_credits,
    _with_deferred,
    _with_version_before,
)


def corrections_of(document: Document, as_read: Document, desk: Desk) -> list[Document]:
    """The document's `corrections`: what each corrected field was before, from the same document without them."""
    return [*_corrections(document, as_read, desk)]


def _corrections(document: Document, as_read: Document, desk: Desk) -> Iterator[Document]:
    for path, source in document["sources"].items():
        correction = desk.corrections.get(UUID(source["answer"])) if source.get("answer") else None
        if correction is not None:
            yield {
                "field": path,
                "was": held_at(as_read, path)[1],
                "now": held_at(document, path)[1],
                "evidence": correction.words,
                "by": str(correction.by),
            }


def _note(document: Document, path: str, row: CounterRow, *, instrument: str = "") -> None:
    photos = [str(photo.pk) for photo in row.photos.all()] if hasattr(row, "photos") else []
    document["sources"][path] = {
        "who": str(row.by),
        "at": local(row.at, document["time_zone"]).isoformat(timespec="seconds"),
        "instrument": instrument,
        "answer": str(row.pk),
        "photos": photos,
    }
