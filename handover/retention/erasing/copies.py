"""Words that were copied into JSON: into a statement's inputs, from which its result takes them, and into groupings.

A statement is priced again from inputs without the words: the same amounts, other bytes, and so another digest. The
entry of the erasing states both. A signature goes with its statement: it points at the digest that now stands there.
"""

import json
from typing import Any

from handover.charges import DocumentError, parse, price
from handover.charges.rules.excess import CONTAMINATED_WATER
from handover.damage.models import Grouping
from handover.rental.models import Rental
from handover.retention.erasing.rows import keep_changed
from handover.retention.erasing.scope import Scope
from handover.retention.words import is_gone
from handover.statement.models import Statement
from shared.canonical import Json, canonical_text, sha256_hex

# By the list or object that holds them: what people typed. A reason of a waiver begins with one of the list.
TYPED = {
    "waivers": {"reason"},
    "credits": {"reason"},
    "deferred": {"awaiting"},
    "corrections": {"evidence"},
    "extensions": {"channel"},
    "gas_receipts": {"reason"},
    "operator_waits": {"cause"},
    "next_booking": {"proof"},
    "events": {"cause", "split_reason"},
}
OURS = {CONTAMINATED_WATER, "unit swap", "as chosen"}
QUOTED = (".estimate", ".invoice")


class PricedOtherwise(RuntimeError):
    """Without its words a statement came to something else: nothing of the rental is erased, and somebody looks."""


def erase_groupings(rental: Rental, scope: Scope) -> int:
    rows = [row for row in Grouping.objects.filter(rental=rental) if row.pk not in scope.keep]
    return sum(_erase_events(row, scope.instead) for row in rows)


def _erase_events(row: Grouping, instead: str) -> bool:
    events = [
        event | {name: instead for name in ("cause", "place") if event.get(name) and not is_gone(event[name])}
        for event in row.events
    ]
    return keep_changed(row, {"events": events} if events != row.events else {})


def erase_statements(rental: Rental, scope: Scope) -> list[dict[str, Json]]:
    """For each that held words: {"version", "was", "now"}, the digests of its result. Raises PricedOtherwise."""
    told: list[dict[str, Json]] = []
    for row in Statement.objects.filter(rental=rental).order_by("version"):
        inputs = canonical_text(without_words(json.loads(row.inputs), scope.instead))
        if row.pk in scope.keep or inputs == row.inputs:
            continue
        was, result = row.digest, _priced(row, inputs)
        row.inputs, row.result, row.digest = inputs, result, sha256_hex(result.encode())
        row.save(update_fields=["inputs", "result", "digest"])
        for signature in row.signatures.filter(content_sha256=was):
            signature.content_sha256 = row.digest
            signature.save(update_fields=["content_sha256"])
        told.append({"version": row.version, "was": was, "now": row.digest})
    return told


def without_words(document: Any, instead: str) -> Any:
    """The pricing document with what people typed replaced."""
    cleared = _cleared(document, "", instead)
    for path, source in cleared.get("sources", {}).items():
        if path.endswith(QUOTED) and source.get("instrument"):
            source["instrument"] = source["instrument"].split()[0]  # estimate or invoice, without whose
    return cleared


def _cleared(node: Any, name: str, instead: str) -> Any:
    if isinstance(node, list):
        return [_cleared(part, name, instead) for part in node]
    if not isinstance(node, dict):
        return node
    typed = TYPED.get(name, set())
    return {
        key: _said(value, name, instead) if key in typed and isinstance(value, str) else _cleared(value, key, instead)
        for key, value in node.items()
    }


def _said(text: str, name: str, instead: str) -> str:
    listed, colon, words = text.partition(": ") if name == "waivers" else ("", "", text)
    if not words or words in OURS or is_gone(words):
        return text
    return f"{listed}{colon}{instead}"


def _priced(row: Statement, inputs: str) -> str:
    try:
        result = price(parse(json.loads(inputs))).as_bytes().decode()
    except DocumentError as problem:
        raise PricedOtherwise(f"Version {row.version} cannot be priced without its words.") from problem
    if _amounts(result) != _amounts(row.result):
        raise PricedOtherwise(f"Version {row.version} comes to something else without its words.")
    return result


def _amounts(result: str) -> Any:
    """Totals, and code, ref and amounts of each line."""
    said = json.loads(result)
    lines = [[line.get(name) for name in ("code", "ref", "raw", "covered", "amount", "tax")] for line in said["lines"]]
    return said["totals"], lines
