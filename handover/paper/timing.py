"""What is keyed in from a sheet happened when the sheet says, as what a tablet kept happened when it was told."""

from dataclasses import replace

from handover.acting import Act
from handover.walkround.models import WalkRound

# Done now and not then: the scan of the sheet, and a manager's word about a hold.
NOW = frozenset({"photo", "release"})
ENDS = frozenset({"hand-over", "take-back"})


def as_it_happened(walk: WalkRound, kind: str, act: Act) -> Act:
    """The act with the time of the sheet. The ledger notes beside it when it was entered, and by whom."""
    sheet = walk.paper
    if sheet is None or sheet.begun_at is None or kind in NOW:
        return act
    return replace(act, at=sheet.gone_at if kind in ENDS and sheet.gone_at else sheet.begun_at)
