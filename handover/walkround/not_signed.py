"""How a walk-round that was signed without a network differs from what was signed, as papers and pages say it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from handover.walkround.models import ShownOffline, WalkRound


@dataclass(frozen=True, slots=True)
class NotSigned:
    """`shown` is what the customer read on the tablet; empty for what was not there or open."""

    station: int
    what: str
    shown: str


def shown_document(walk: WalkRound) -> dict[str, Any] | None:
    """For the record; None where our own page was signed."""
    shown = signed_under(walk, walk.shown_offline.all())
    if shown is None:
        return None
    differences = [{"station": row.station, "what": row.what, "shown": row.shown} for row in differences_in(shown)]
    return {"sha256": shown.digest, "differences": differences}


def signed_under(walk: WalkRound, shown: Iterable[ShownOffline]) -> ShownOffline | None:
    """Of what tablets showed, what the walk-round ended with: the last, as nothing is signed after the end."""
    return max(shown, key=lambda row: row.at, default=None) if walk.finished_at else None


def differences_in(shown: ShownOffline) -> list[NotSigned]:
    return [NotSigned(row["station"], row["what"], row["said"]) for row in shown.differences]
