"""The ledger of a rental as its story: what happened, who did it, when. Many answers in a row are one line."""

import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from shared.ledger.models import Entry

KINDS = {
    "rental.booked": "Booked",
    "pickup.started": "Pickup begun",
    "pickup.finished": "Gone: pickup signed, the promise kept",
    "return.started": "Return begun",
    "return.finished": "Back: return finished",
    "walk.signed": "Walk-round signed",
    "hold.released": "Hold released, with a reason",
    "mark.pinned": "New mark pinned on the plan",
    "statement.drawn_up": "Statement drawn up",
    "statement.signed": "Statement signed",
    "statement.unsigned": "Statement left unsigned",
    "statement.settled": "Settled",
    "statement.reopened": "Opened again, with the cause",
    "credit.given": "Credit given",
    "extra.sold": "Extra sold",
    "line.waived": "Something taken off a line",
    "waiver.withdrawn": "A waiver taken back",
    "line.objected": "The customer objects to a line",
    "objection.answered": "How an objection stands",
    "reading.corrected": "A reading put right, with evidence",
    "reading.taken_again": "Filled up and read again",
    "zone.looked_at": "Cleanliness looked at",
    "tanks.looked_at": "Rubbish, cassette and water looked at",
    "kit.explained": "Why a kit was opened",
    "item.noted": "A thing broken, or turned up",
    "damages.grouped": "Damages grouped into events",
    "repair.priced": "A repair priced",
    "record.made": "Record made and sealed",
    "trip.extension_agreed": "Extension agreed",
    "trip.extension_confirmed": "Extension confirmed",
    "trip.swap_begun": "Unit swap begun",
    "trip.swap_unit_changed": "Another unit chosen for the swap",
    "trip.gas_receipt": "Gas receipt kept",
    "trip.fault": "Fault reported",
    "trip.roadside": "Roadside assistance noted",
    "trip.wait": "Wait on the branch noted",
    "trip.lateness_stopped": "Lateness stopped",
    "trip.customer_displaced": "Next customer displaced",
    "trip.excess_lowered": "Lower excess bought",
    "trip.notice": "Fine or toll noted",
    "trip.notice_told": "Customer told of a fine or toll",
    "trip.photo_added": "Photo added to the trip",
    "settlement.held": "Deposit held",
    "settlement.captured": "Captured from the deposit",
    "settlement.released": "Deposit released",
    "settlement.paid": "Balance paid",
    "settlement.refunded": "Refunded",
}
ANSWERS = {
    "check.answered": ("check", "checks"),
    "reading.taken": ("reading", "readings"),
    "equipment.counted": ("count", "counts"),
    "seal.checked": ("seal", "seals"),
    "topic.heard": ("topic", "topics"),
    "mark.judged": ("mark looked at again", "marks looked at again"),
    "station.rest_as_before": ("station as last return", "stations as last return"),
    "photo.added": ("photo", "photos"),
    "remark.made": ("remark of the customer", "remarks of the customer"),
}
SIGNED = {"walk.signed", "statement.signed", "statement.unsigned"}
PAUSE = timedelta(minutes=30)


@dataclass(frozen=True, slots=True)
class Told:
    """`side` is pickup, return or empty. `until` is None for a single moment; `who` empty for the program itself."""

    words: str
    who: str
    at: datetime
    until: datetime | None
    side: str


def told(entries: Iterable[Entry]) -> list[Told]:
    """The entries of one chain in order; answers by one person without a pause become one line."""
    side, rows = "", []
    for run in _runs(entries):
        first = run[0]
        if first.kind.split(".")[0] in {"pickup", "return"}:
            side = first.kind.split(".")[0]
        if first.kind.startswith("statement."):
            side = "return"
        rows.append(_told(run, side))
    return rows


def _runs(entries: Iterable[Entry]) -> list[list[Entry]]:
    runs: list[list[Entry]] = []
    for entry in entries:
        last = runs[-1][-1] if runs else None
        if last and _belongs(entry, last):
            runs[-1].append(entry)
        else:
            runs.append([entry])
    return runs


def _belongs(entry: Entry, last: Entry) -> bool:
    both_answers = entry.kind in ANSWERS and last.kind in ANSWERS
    return both_answers and entry.actor_id == last.actor_id and entry.happened_at - last.happened_at < PAUSE


def _told(run: list[Entry], side: str) -> Told:
    first, last = run[0], run[-1]
    return Told(
        words=_answers(run) if first.kind in ANSWERS else _words(first),
        who=first.actor.short_name if first.actor else "",
        at=first.happened_at,
        until=last.happened_at if last.happened_at - first.happened_at >= timedelta(minutes=1) else None,
        side=side,
    )


def _words(entry: Entry) -> str:
    words = KINDS.get(entry.kind, entry.kind.replace(".", ", ").replace("_", " "))
    if entry.kind in SIGNED:
        return f"{words}: {json.loads(entry.payload)['role']}"
    return words


def _answers(run: list[Entry]) -> str:
    """12 checks, 4 readings, 1 photo."""
    counted = Counter(entry.kind for entry in run)
    words = {kind: one if counted[kind] == 1 else many for kind, (one, many) in ANSWERS.items() if kind in counted}
    return ", ".join(f"{counted[kind]} {word}" for kind, word in words.items())
