"""One chain to take along: its entries as they were hashed, and proof that day seals vouch for them."""

from typing import Any
from uuid import UUID

from shared.ledger.chain import hashed_form
from shared.ledger.day_document import Leaf, document_digest, read_document
from shared.ledger.days import day_of
from shared.ledger.merkle import inclusion_proof
from shared.ledger.models import DaySeal, Entry

FORM = "chain-extract/1"


def chain_extract(chain: UUID) -> dict[str, Any]:
    """JSON-ready: {"form", "chain", "entries": [...], "day_seals": [...]}.

    An entry is {"sequence", "kind", "hashed", "digest"}: digest is the SHA-256 of the text `hashed`, in UTF-8. A day
    seal is {"number", "day", "document", "document_sha256", "leaf", "position", "leaves", "proof", "root"}: leaf is the
    text "<chain> <sequence> <digest>", and proof what stands beside it on the way up to the root (RFC 9162, section
    2.1.3.2): [{"side": "left" or "right", "hash": hex}, ...]. The entries of a day that is not sealed yet have no seal.
    Raises LookupError for an unknown chain.
    """
    entries = list(Entry.objects.filter(chain=chain).order_by("sequence"))
    if not entries:
        raise LookupError(f"The ledger knows no chain {chain}.")
    days = {entry.recorded_at.date() for entry in entries}
    seals = DaySeal.objects.filter(day__in=days).order_by("number")
    return {
        "form": FORM,
        "chain": str(chain),
        "entries": [_entry(entry) for entry in entries],
        "day_seals": [_sealed(seal, chain) for seal in seals],
    }


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "sequence": entry.sequence,
        "kind": entry.kind,
        "hashed": hashed_form(entry.link).decode(),
        "digest": entry.digest,
    }


def _sealed(seal: DaySeal, chain: UUID) -> dict[str, Any]:
    leaves = day_of(seal.day).leaves
    position = next(number for number, leaf in enumerate(leaves) if leaf.chain == chain)
    leaf: Leaf = leaves[position]
    return {
        "number": seal.number,
        "day": seal.day.isoformat(),
        "document": seal.document,
        "document_sha256": document_digest(seal.document),
        "leaf": leaf.data.decode(),
        "position": position,
        "leaves": len(leaves),
        "proof": _proof([each.data for each in leaves], position),
        "root": read_document(seal.document)["root"],
    }


def _proof(leaves: list[bytes], position: int) -> list[dict[str, str]]:
    """With the side of each part, so that who checks need not know how positions give it."""
    sides, at, last = [], position, len(leaves) - 1
    for part in inclusion_proof(leaves, position):
        while at == last and not at & 1:  # the last of its level moves up alone
            at, last = at >> 1, last >> 1
        sides.append({"side": "left" if at & 1 else "right", "hash": part.hex()})
        at, last = at >> 1, last >> 1
    return sides
