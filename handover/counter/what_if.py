"""What the customer could still do before signing, and what that saves. Pure: the stored inputs are priced again.

Nothing is written and nothing is guessed: each saving is the difference of two whole pricings.
"""

import copy
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from handover.charges import DocumentError, parse, price
from handover.charges.rules.excess import CONTAMINATED_WATER
from handover.charges.rules.wrong_fuel import WRONG_FUEL

Document = dict[str, Any]
ALL_IN_ONE, EACH_ITS_OWN = "all in one", "each its own"
ALONE = {CONTAMINATED_WATER, WRONG_FUEL}


@dataclass(frozen=True, slots=True)
class WhatIf:
    """`kind` is refuel, bring_back, cylinder or grouping; `subject` what it is about, `ref` its line's ref.

    `quantity` is how much is to be filled up (L), else empty. `total` is what would be owed then.
    """

    kind: str
    subject: str
    ref: str
    saving: Decimal
    total: Decimal
    quantity: str = ""


def what_ifs(document: Mapping[str, Any]) -> tuple[WhatIf, ...]:
    """Those that save something, the greatest saving first. Groupings decided the other way are in `regrouped`."""
    before = total_of(document)
    found = [
        WhatIf(kind, subject, ref, before - total, total, quantity)
        for kind, subject, ref, quantity, changed in _changes(document)
        if (total := _total_or_none(changed)) is not None
    ]
    return tuple(sorted((one for one in found if one.saving > 0), key=lambda one: -one.saving))


def total_of(document: Mapping[str, Any]) -> Decimal:
    return price(parse(document)).totals.total


def _total_or_none(document: Document) -> Decimal | None:
    """None where the changed document could not be: then nothing is promised."""
    try:
        return total_of(document)
    except DocumentError:
        return None


Change = tuple[str, str, str, str, Document]


def _changes(document: Mapping[str, Any]) -> Iterator[Change]:
    for source in (_refuelled, _brought_back, _cylinders_back, _regroupings):
        yield from source(document)


def _refuelled(document: Mapping[str, Any]) -> Iterator[Change]:
    """The last unit's tank, the one that stands here, filled until no difference counts."""
    for number, leg in [*enumerate(document.get("legs", []))][-1:]:
        fuel = leg.get("fuel")
        out, back = ("out_l", "in_l") if fuel and "in_l" in fuel else ("out", "in")
        if not fuel or fuel.get(out) is None or fuel.get(back) is None:
            continue
        level = _target(document, fuel, out) - _untold(document, fuel, out)
        if Decimal(str(fuel[back])) < level:
            changed = _copy(document)
            changed["legs"][number]["fuel"][back] = str(level)
            yield "refuel", "fuel", str(leg["unit"]), _litres_to_fill(fuel, back, level), changed


def _target(document: Mapping[str, Any], fuel: Mapping[str, Any], out: str) -> Decimal:
    rate = document["rules"].get("fuel", {})
    to_full = rate.get("policy") == "full_to_full" and rate.get("target_when_out_below_full") == "full"
    return Decimal(str(fuel["tank_l" if out == "out_l" else "steps"] if to_full else fuel[out]))


def _untold(document: Mapping[str, Any], fuel: Mapping[str, Any], out: str) -> Decimal:
    """What the gauge cannot tell at both ends, where that is the customer's: so much less need be filled up."""
    if document["rules"].get("fuel", {}).get("tolerance_mode") != "instrument":
        return Decimal(0)
    unit, usual = ("_l", "0") if out == "out_l" else ("", "0.5")
    return sum((Decimal(str(fuel.get(f"half_width_{end}{unit}", usual))) for end in ("out", "in")), Decimal(0))


def _litres_to_fill(fuel: Mapping[str, Any], back: str, level: Decimal) -> str:
    short = level - Decimal(str(fuel[back]))
    litres = short if back == "in_l" else short * Decimal(str(fuel["tank_l"])) / Decimal(str(fuel["steps"]))
    return f"{litres.normalize():f}"


def _brought_back(document: Mapping[str, Any]) -> Iterator[Change]:
    for number, item in enumerate(document.get("equipment", [])):
        if item.get("qty", 1) and item.get("returned_after_days") is None:
            changed = _copy(document)
            changed["equipment"][number]["qty"] = 0
            yield "bring_back", item["item"], item["item"], "", changed


def _cylinders_back(document: Mapping[str, Any]) -> Iterator[Change]:
    """A missing cylinder comes back empty: what was in it is still used."""
    for number, leg in enumerate(document.get("legs", [])):
        for place, cylinder in enumerate(leg.get("gas", [])):
            if cylinder.get("missing"):
                changed = _copy(document)
                back = changed["legs"][number]["gas"][place]
                back |= {"missing": False, "gross_in_kg": back.get("tare_kg")}
                yield "cylinder", cylinder["id"], cylinder["id"], "", changed


def _regroupings(document: Mapping[str, Any]) -> Iterator[Change]:
    for name, changed in regrouped(document).items():
        yield "grouping", name, "", "", changed


def regrouped(document: Mapping[str, Any]) -> dict[str, Document]:
    """The document with each unit's damages all in one event, and each in its own; without what is so already.

    Wrong fuel and contaminated water happened once and by themselves: they are never grouped with anything.
    """
    events = document.get("events", [])
    alone = [event for event in events if event.get("cause") in ALONE]
    open_ = [event for event in events if event.get("cause") not in ALONE]
    ways: dict[str, Document] = {}
    if len({event.get("unit") for event in open_}) < len(open_):
        ways[ALL_IN_ONE] = _copy(document) | {"events": [*_one_a_unit(open_), *alone]}
    if any(len(event.get("items", [])) > 1 for event in open_):
        ways[EACH_ITS_OWN] = _copy(document) | {"events": [*_one_an_item(open_), *alone]}
    return ways


def _one_a_unit(events: list[Document]) -> list[Document]:
    merged: dict[Any, Document] = {}
    for event in events:
        first = merged.setdefault(event.get("unit"), event | {"items": [], "split_reason": ALL_IN_ONE})
        first["items"] = [*first["items"], *event.get("items", [])]
    return list(merged.values())


def _one_an_item(events: list[Document]) -> list[Document]:
    items = [(event, item) for event in events for item in event.get("items", [])]
    return [
        event | {"id": f"{event['id']}.{number}", "items": [item], "split_reason": EACH_ITS_OWN}
        for number, (event, item) in enumerate(items, start=1)
    ]


def _copy(document: Mapping[str, Any]) -> Document:
    """A corrected field that is changed here is no correction any more; the rest is the document's own."""
    return copy.deepcopy(dict(document)) | {"corrections": []}
