"""What happened around a dispute in order of time: one peg each, and a break where days pass."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from handover.dispute.evidence.gathering import Gathered
from handover.dispute.evidence.photographs import Photographed
from handover.dispute.models import Decision
from handover.walkround.models import WalkRound

DAYS_PASS = timedelta(hours=24)
TOLD = {
    "statement.settled": "settled", "statement.reopened": "reopened", "line.objected": "objected",
    "reading.corrected": "corrected",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Peg:
    """`look` is out, back, now or empty; `after_days` how many whole days passed since the peg before."""

    at: datetime
    head: str
    words: str
    look: str = ""
    after_days: int = 0


def timeline(found: Gathered, shown: Photographed, decision: Decision | None) -> list[Peg]:
    """No query."""
    pegs = sorted([*_walks(found, shown), *_ledger(found), *_dispute(found, decision)], key=lambda peg: peg.at)
    return [_placed(peg, pegs[place - 1] if place else None) for place, peg in enumerate(pegs)]


def _placed(peg: Peg, before: Peg | None) -> Peg:
    passed = peg.at - before.at if before else timedelta()
    return Peg(peg.at, peg.head, peg.words, peg.look, passed.days if passed >= DAYS_PASS else 0)


def _walks(found: Gathered, shown: Photographed) -> Iterator[Peg]:
    if found.earlier:
        yield Peg(_ended(found.earlier), _("Return before"), _known_before(found), "back")
    if found.out:
        yield Peg(_ended(found.out), _("Pickup"), _seen(found.out, has_photo=bool(shown.out)), "out")
    if found.back:
        yield Peg(_ended(found.back), _("Return"), _seen(found.back, has_photo=bool(shown.back)), "back")


def _ended(walk: WalkRound) -> datetime:
    return walk.finished_at or walk.started_at


def _known_before(found: Gathered) -> str:
    who = found.earlier.finished_by.short_name if found.earlier and found.earlier.finished_by else ""
    if found.mark is None or found.earlier is None:
        return who
    is_there = found.mark.found_at <= _ended(found.earlier)
    return (_("%(who)s, mark known") if is_there else _("%(who)s, mark not known")) % {"who": who}


def _seen(walk: WalkRound, *, has_photo: bool) -> str:
    who = walk.finished_by.short_name if walk.finished_by else walk.started_by.short_name
    return (_("%(who)s, photo of it") if has_photo else _("%(who)s, no photo of it")) % {"who": who}


def _ledger(found: Gathered) -> Iterator[Peg]:
    heads = {
        "settled": _("Statement settled"), "reopened": _("Opened again"), "objected": _("Objected"),
        "corrected": _("Reading put right"),
    }  # fmt: skip
    for entry, _told in found.told(*TOLD):
        yield Peg(entry.happened_at, heads[TOLD[entry.kind]], entry.actor.short_name if entry.actor else "")


def _dispute(found: Gathered, decision: Decision | None) -> Iterator[Peg]:
    dispute = found.dispute
    who = dispute.by.short_name if dispute.by else dispute.rental.customer.name
    yield Peg(dispute.at, dispute.get_kind_display() if dispute.claimed else str(dispute), who, "now")
    if decision:
        yield Peg(decision.at, decision.get_outcome_display(), decision.by.short_name)
