"""That a later day seal goes on from an earlier one: proofs for somebody who keeps both sheets and trusts neither."""

from typing import Any

from shared.ledger.day_document import document_digest, history_leaves, read_document
from shared.ledger.merkle import consistency_proof, inclusion_proof, is_consistent, is_included
from shared.ledger.models import DaySeal

FORM = "history-proof/1"


class NotOneHistory(ValueError):
    """The later seal does not vouch for the earlier one: a sentence."""


def history_proof(earlier: DaySeal, later: DaySeal) -> dict[str, Any]:
    """JSON-ready; sizes and positions count day seals (RFC 9162, sections 2.1.3 and 2.1.4), hashes are hex.

    {"form", "from": {"number", "day", "document_sha256", "history"}, "to": the same,
    "inclusion": that the earlier document is a leaf of the later history, "consistency": that the later history begins
    with the earlier one; empty where the earlier seal is the first}. Raises NotOneHistory.
    """
    if earlier.number >= later.number:
        raise NotOneHistory(f"{earlier} is not before {later}.")
    documents = DaySeal.objects.filter(number__lt=later.number).order_by("number").values_list("document", flat=True)
    leaves = history_leaves([document_digest(text) for text in documents])
    before, after = (read_document(seal.document)["history"] for seal in (earlier, later))
    inclusion = inclusion_proof(leaves, earlier.number - 1)
    consistency = consistency_proof(leaves, before["size"]) if before["size"] else []
    _check(earlier, later, inclusion, consistency)
    return {
        "form": FORM,
        "from": _named(earlier),
        "to": _named(later),
        "inclusion": {
            "position": earlier.number - 1,
            "size": after["size"],
            "proof": [part.hex() for part in inclusion],
        },
        "consistency": [part.hex() for part in consistency],
    }


def _check(earlier: DaySeal, later: DaySeal, inclusion: list[bytes], consistency: list[bytes]) -> None:
    before, after = (read_document(seal.document)["history"] for seal in (earlier, later))
    leaf = bytes.fromhex(document_digest(earlier.document))
    old, new = bytes.fromhex(before["root"]), bytes.fromhex(after["root"])
    if not is_included(leaf, earlier.number - 1, after["size"], inclusion, new):
        raise NotOneHistory(f"{later} does not vouch for {earlier}: it is not in its history.")
    if before["size"] and not is_consistent(before["size"], after["size"], consistency, old, new):
        raise NotOneHistory(f"The history of {later} does not begin with that of {earlier}.")


def _named(seal: DaySeal) -> dict[str, Any]:
    return {
        "number": seal.number,
        "day": seal.day.isoformat(),
        "document_sha256": document_digest(seal.document),
        "history": read_document(seal.document)["history"],
    }
