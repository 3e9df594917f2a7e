"""How strong a line stands, in plain findings: each says what it rests on, none is a score."""

from collections.abc import Callable

from handover.dispute.evidence import agreed, read, seen
from handover.dispute.evidence.finding import Finding, Found
from handover.dispute.evidence.gathering import Gathered
from handover.dispute.evidence.photographs import Photographed

Part = Callable[[Gathered, Photographed], Found]
PARTS: tuple[Part, ...] = (
    seen.photos, seen.smallest, seen.before,
    read.readings, read.corrections, read.offline,
    agreed.presence, agreed.signatures, agreed.topics, agreed.rate_card, agreed.taken_off,
)  # fmt: skip


def findings(found: Gathered, shown: Photographed) -> list[Finding]:
    """In the language that is active, with the branch's zone active. No query."""
    return [finding for part in PARTS for finding in part(found, shown)]
