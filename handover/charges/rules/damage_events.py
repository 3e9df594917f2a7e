"""Which damages are one event: one cause, one excess."""

from collections.abc import Hashable
from dataclasses import replace

from handover.charges.document.case import Case
from handover.charges.document.findings import Event
from handover.charges.rules.wrong_fuel import events_of
from handover.charges.sheet import ZERO, Finding, Why

UNKNOWN = (None, "unknown")


def grouped(case: Case) -> tuple[tuple[Event, ...], tuple[Finding, ...]]:
    """The events, those that are one merged into the first of them.

    Same time, place and cause are one. Of unknown cause, everything on one side is one: unsure is decided for the
    customer. A stated reason keeps events apart.
    """
    merged: dict[Hashable, Event] = {}
    findings: list[Finding] = []
    for event in events_of(case):
        key = _key(event)
        if key in merged:
            findings.append(_merged(event, merged[key]))
            merged[key] = _one(merged[key], event)
        else:
            merged[key] = event
    return tuple(merged.values()), tuple(findings)


def _key(event: Event) -> Hashable:
    at = event.at.utc if event.at is not None else None
    if event.split_reason is not None:
        return event.id
    if event.cause in UNKNOWN:
        return ("unknown", at, event.unit, event.side)
    if at is None or event.place is None:
        return event.id
    return ("known", at, event.place, event.cause, event.unit)


def _merged(event: Event, into: Event) -> Finding:
    sentence = f"Counted as one with {into.id}: one excess and one fee for both."
    return Finding("DAMAGE", event.id, Why.MERGED, sentence)


def _one(first: Event, second: Event) -> Event:
    """Both as one: the unit stood for the longer of the two repairs."""
    recovered = (first.recovered or ZERO) + (second.recovered or ZERO)
    longer = max(first, second, key=lambda event: event.off_road_days)
    return replace(
        first,
        items=(*first.items, *second.items),
        off_road_days=longer.off_road_days,
        other_work_days=longer.other_work_days,
        off_road_from=longer.off_road_from,
        off_road_proof=longer.off_road_proof,
        recovered=recovered or None,
    )
