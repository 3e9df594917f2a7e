"""The damage part of a pricing document."""

from collections.abc import Collection, Mapping
from typing import Any

from consumables.readable import figure
from handover.damage.found import Damage, damages_of, events_of, repair_prices
from handover.damage.models import Grouping, RepairPrice
from handover.damage.moved import Moved, moved_of
from handover.paper.queries import legs_without_their_sheet
from handover.rental.models import Rental
from shared.clock import local


def damage_part(rental: Rental, *, photos: Mapping[Any, list[str]]) -> tuple[dict[str, Any], dict[str, Any]]:
    """`events` for the document, and the sources of their items by path."""
    damages = damages_of(rental)
    if not damages:
        return {}, {}
    events, grouping = events_of(rental, damages)
    prices = repair_prices(rental)
    walks = {damage.walk.pk: damage.walk for damage in damages}
    moved, unproven = moved_of(rental, walks.values()), legs_without_their_sheet(rental)
    by_mark = {str(damage.mark.pk): damage for damage in damages}
    written, sources = [], {}
    for number, event in enumerate(events):
        items = []
        for place, mark in enumerate(event["marks"]):
            damage = by_mark[mark]
            items.append(_item(damage, prices) | _doubt(damage, moved, unproven))
            path = f"events[{number}].items[{place}]"
            sources[f"{path}.size_mm"] = _source(by_mark[mark], photos, rental.branch.zone)
            for basis in RepairPrice.Basis.values:
                if price := prices.get((by_mark[mark].mark.pk, basis)):
                    sources[f"{path}.{basis}"] = _quoted(price, rental.branch.zone)
        written.append(_event(event, items, by_mark[event["marks"][0]], grouping))
    return {"events": written}, sources


def _event(
    event: Mapping[str, Any], items: list[dict[str, Any]], first: Damage, grouping: Grouping | None
) -> dict[str, Any]:
    written = {"id": event["id"], "side": first.side, "unit": first.walk.leg.unit.number, "items": items}
    if event["cause"]:
        written["cause"] = event["cause"]
    if event.get("at"):
        written["at"] = event["at"]
    if grouping:
        written["split_reason"] = grouping.reason
    return written


def _item(damage: Damage, prices: Mapping[Any, Any]) -> dict[str, Any]:
    mark = damage.mark
    item: dict[str, Any] = {
        "ref": f"{damage.ref}, {mark.place}",
        "part": mark.part,
        "kind": mark.kind,
        "size_mm": str(damage.size_mm),
    }
    if damage.known_size_mm is not None:
        item |= {"known_size_mm": str(damage.known_size_mm)}
    for basis in ("estimate", "invoice"):
        if price := prices.get((mark.pk, basis)):
            item[basis] = figure(price.amount)
    return item


def _doubt(damage: Damage, moved: Moved, unproven: Collection[Any]) -> dict[str, Any]:
    """What speaks against charging it at all."""
    doubt: dict[str, Any] = {}
    if said := moved.of(damage.walk.pk, damage.mark.pk):
        doubt["moved_first"] = said
    if damage.walk.leg_id in unproven:
        doubt["inspected_at_pickup"] = False
    return doubt


def _source(damage: Damage, photos: Mapping[Any, list[str]], zone: str) -> dict[str, Any]:
    mark = damage.mark
    return {
        "who": str(damage.by),
        "at": local(damage.at, zone).isoformat(timespec="seconds"),
        "instrument": "eye and ruler",
        "answer": str(mark.pk),
        "photos": photos.get(mark.pk, []),
    }


def _quoted(price: RepairPrice, zone: str) -> dict[str, Any]:
    return {
        "who": str(price.by),
        "at": local(price.at, zone).isoformat(timespec="seconds"),
        "instrument": f"{price.get_basis_display().lower()} {price.reference}",
        "answer": str(price.pk),
        "photos": [],
    }
