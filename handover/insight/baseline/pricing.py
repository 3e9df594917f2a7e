"""What a missing pickup reading costs at most: the stored inputs priced again as if it had left full. Pure.

An upper bound and never a claim: nobody knows how it left, and that is the customer's.
"""

import copy
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from handover.charges import DocumentError, parse, price

Document = dict[str, Any]


def at_most(document: Mapping[str, Any], code: str, ref: str) -> Decimal | None:
    """By how much the total would be higher; None where the pricing cannot know it, such as a distance."""
    full = _as_if_full(document, code, ref)
    return None if full is None else _more(document, full)


def at_most_missing(document: Mapping[str, Any], entry: Mapping[str, Any]) -> Decimal | None:
    """The same for a thing that nobody counted at pickup: an entry of `equipment` with how many are short now."""
    changed = copy.deepcopy(dict(document))
    changed["equipment"] = [*changed.get("equipment", []), dict(entry)]
    return _more(document, changed)


def _more(before: Mapping[str, Any], after: Document) -> Decimal | None:
    try:
        return max(price(parse(after)).totals.total - price(parse(before)).totals.total, Decimal(0))
    except DocumentError:
        return None


def _as_if_full(document: Mapping[str, Any], code: str, ref: str) -> Document | None:
    changed = copy.deepcopy(dict(document))
    filled = [_filled(leg, code, ref) for leg in changed.get("legs", [])]
    return changed if any(filled) else None


def _filled(leg: Document, code: str, ref: str) -> bool:
    """Whether something of this leg was not read at pickup, was read at return, and now counts as full."""
    if code == "FUEL" and leg["unit"] == ref:
        return _fill(leg.get("fuel", {}), "out_l", "in_l", leg.get("fuel", {}).get("tank_l"))
    if code == "GAS":
        return any(
            _fill(one, "gross_out_kg", "gross_in_kg", str(Decimal(one["tare_kg"]) + Decimal(one["net_kg"])))
            for one in leg.get("gas", [])
            if one["id"] == ref
        )
    return False


def _fill(readings: Document, out: str, back: str, full: str | None) -> bool:
    if full is None or readings.get(back) is None or readings.get(out) is not None:
        return False
    readings[out] = full
    return True
