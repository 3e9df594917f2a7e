"""What a grouping comes to before anybody decides on it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext_noop

from handover.counter.what_if import regrouped, total_of


@dataclass(frozen=True, slots=True)
class Total:
    """The whole statement with the damages grouped one way."""

    name: str
    total: Decimal


def totals_of(document: Mapping[str, Any], chosen: Sequence[Mapping[str, Any]] | None = None) -> list[Total]:
    """As the statement's inputs group them, as chosen on the page if anything is, and the other ways. Pure."""
    ways = {gettext_noop("As it stands"): document}
    if chosen is not None:
        ways[gettext_noop("As chosen here")] = _as_chosen(document, chosen)
    ways |= {name.capitalize(): changed for name, changed in regrouped(document).items()}
    return [Total(name, total_of(way)) for name, way in ways.items()]


def _as_chosen(document: Mapping[str, Any], chosen: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """`chosen` as the action takes it: each event with its marks."""
    items = dict(_items_by_mark(document))
    rest = [event for event in document.get("events", []) if not any(item in items.values() for item in event["items"])]
    events = [
        {"id": event["id"], "cause": event["cause"] or None, "items": found, "split_reason": "as chosen"}
        | ({"at": event["at"]} if event.get("at") else {})
        for event in chosen
        if (found := [items[mark] for mark in event["marks"] if mark in items])
    ]
    return {**document, "events": [*events, *rest], "corrections": []}


def _items_by_mark(document: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for number, event in enumerate(document.get("events", [])):
        for place, item in enumerate(event["items"]):
            source = document["sources"].get(f"events[{number}].items[{place}].size_mm")
            if source:
                yield source["answer"], item
