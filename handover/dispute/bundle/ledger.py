"""The ledger of a rental as files that anyone can check: the bytes each digest is taken over, and the day seals."""

from collections.abc import Iterator
from functools import partial
from typing import Any
from uuid import UUID

from handover.dispute.bundle.packing import Part
from shared.ledger.extract import chain_extract


def ledger_parts(chain: UUID) -> Iterator[Part]:
    """One entry a line, since a hashed form has no line end in it; the digests in the same order; each day's proof."""
    extract = chain_extract(chain)
    entries = extract["entries"]
    yield _held("ledger/entries.jsonl", "".join(f"{entry['hashed']}\n" for entry in entries))
    yield _held("ledger/digests.txt", "".join(f"{entry['digest']}\n" for entry in entries))
    for seal in extract["day_seals"]:
        yield _held(f"ledger/day-{seal['day']}.proof", _proof(seal))
        yield _held(f"ledger/day-{seal['day']}.sealed", seal["document"])


def _held(name: str, text: str) -> Part:
    return Part(name, partial(str.encode, text))


def _proof(seal: dict[str, Any]) -> str:
    """The way from the chain's head of that day up to the root that is sealed (RFC 9162), one step a line."""
    steps = (f"{step['side']} {step['hash']}\n" for step in seal["proof"])
    return f"leaf {seal['leaf']}\n{''.join(steps)}root {seal['root']}\n"
