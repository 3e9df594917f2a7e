"""The ledger of a rental as its story: what happened, who did it, when. Many answers in a row are one line."""

import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext_lazy

from shared.ledger.models import Entry

KINDS = {
    "rental.booked": gettext_noop("Booked"),
    "rental.changed": gettext_noop("Booking changed"),
    "pickup.started": gettext_noop("Pickup begun"),
    "pickup.finished": gettext_noop("Gone: pickup signed, the promise kept"),
    "return.started": gettext_noop("Return begun"),
    "return.finished": gettext_noop("Back: return finished"),
    "walk.signed": gettext_noop("Walk-round signed"),
    "walk.shown_offline": gettext_noop("Signed without a signal: what the tablet showed is kept"),
    "disagreement.found": gettext_noop("Two tablets answered one question differently"),
    "disagreement.settled": gettext_noop("One of two answers picked"),
    "entry.tried_again": gettext_noop("Told on a tablet, held, and written by a person"),
    "entry.set_aside": gettext_noop("Told on a tablet, held, and set aside with a reason"),
    "language.chosen": gettext_noop("Language of the briefing chosen"),
    "unit.held": gettext_noop("Held: a kit that expires, or a load over the plate"),
    "unit.let_go": gettext_noop("Let go with what was open or due, with a reason"),
    "hold.released": gettext_noop("Hold released, with a reason"),
    "mark.pinned": gettext_noop("New mark pinned on the plan"),
    "statement.drawn_up": gettext_noop("Statement drawn up"),
    "statement.signed": gettext_noop("Statement signed"),
    "statement.unsigned": gettext_noop("Statement left unsigned"),
    "statement.settled": gettext_noop("Settled"),
    "statement.open_to_objection": gettext_noop("The customer was not present: open to objection"),
    "statement.reopened": gettext_noop("Opened again, with the cause"),
    "credit.given": gettext_noop("Credit given"),
    "extra.sold": gettext_noop("Extra sold"),
    "line.waived": gettext_noop("Something taken off a line"),
    "waiver.withdrawn": gettext_noop("A waiver taken back"),
    "line.objected": gettext_noop("The customer objects to a line"),
    "objection.answered": gettext_noop("How an objection stands"),
    "reading.corrected": gettext_noop("A reading put right, with evidence"),
    "reading.taken_again": gettext_noop("Filled up and read again"),
    "zone.looked_at": gettext_noop("Cleanliness looked at"),
    "tanks.looked_at": gettext_noop("Rubbish, cassette and water looked at"),
    "kit.explained": gettext_noop("Why a kit was opened"),
    "item.noted": gettext_noop("A thing broken, or turned up"),
    "return.customer_left": gettext_noop("The customer left before the end"),
    "paper.lost": gettext_noop("It left on a sheet of paper that is lost"),
    "damage.move_decided": gettext_noop("Decided: damage without a photo before the unit was moved"),
    "damages.grouped": gettext_noop("Damages grouped into events"),
    "repair.priced": gettext_noop("A repair priced"),
    "record.made": gettext_noop("Record made and sealed"),
    "record.failed": gettext_noop("Record could not be made"),
    "turnaround.begun": gettext_noop("Jobs of the turnaround drawn up"),
    "hold.placed": gettext_noop("Legal hold placed on personal data"),
    "hold.lifted": gettext_noop("Legal hold lifted"),
    "personal.erased": gettext_noop("Personal data erased"),
    "customer.link_made": gettext_noop("Link for the customer made"),
    "customer.link_revoked": gettext_noop("Link of the customer withdrawn"),
    "customer.link_mailed": gettext_noop("Link for the customer given to the mail"),
    "customer.link_sent": gettext_noop("Link for the customer sent"),
    "customer.link_not_sent": gettext_noop("Link for the customer not sent"),
    "customer.noticed": gettext_noop("The customer noticed something"),
    "customer.late_announced": gettext_noop("The customer said when they will be back"),
    "trip.extension_agreed": gettext_noop("Extension agreed"),
    "trip.extension_confirmed": gettext_noop("Extension confirmed"),
    "trip.swap_begun": gettext_noop("Unit swap begun"),
    "trip.swap_unit_changed": gettext_noop("Another unit chosen for the swap"),
    "trip.gas_receipt": gettext_noop("Gas receipt kept"),
    "trip.fault": gettext_noop("Fault reported"),
    "trip.roadside": gettext_noop("Roadside assistance noted"),
    "trip.wait": gettext_noop("Wait on the branch noted"),
    "trip.lateness_stopped": gettext_noop("Lateness stopped"),
    "trip.customer_displaced": gettext_noop("Next customer displaced"),
    "trip.excess_lowered": gettext_noop("Lower excess bought"),
    "trip.notice": gettext_noop("Fine or toll noted"),
    "trip.notice_told": gettext_noop("Customer told of a fine or toll"),
    "trip.photo_added": gettext_noop("Photo added to the trip"),
    "trip.party_planned": gettext_noop("Party of the trip planned"),
    "trip.nights_planned": gettext_noop("Nights of the trip planned"),
    "dispute.opened": gettext_noop("Dispute opened"),
    "dispute.handed_on": gettext_noop("Dispute waits for someone, with a reason"),
    "dispute.decided": gettext_noop("Dispute decided"),
    "dispute.letter_made": gettext_noop("Letter about the dispute made"),
    "dispute.letter_failed": gettext_noop("Letter about the dispute could not be made"),
    "dispute.letter_asked_for": gettext_noop("Letter to be sent again"),
    "dispute.letter_sent": gettext_noop("Letter sent, or why not"),
    "dispute.bundle_ordered": gettext_noop("Bundle for the card issuer ordered"),
    "dispute.bundle_made": gettext_noop("Bundle for the card issuer made"),
    "dispute.bundle_failed": gettext_noop("Bundle could not be made"),
    "settlement.held": gettext_noop("Deposit held"),
    "settlement.captured": gettext_noop("Captured from the deposit"),
    "settlement.released": gettext_noop("Deposit released"),
    "settlement.paid": gettext_noop("Balance paid"),
    "settlement.refunded": gettext_noop("Refunded"),
}
ANSWERS = {
    "check.answered": ngettext_lazy("%(count)d check", "%(count)d checks", "count"),
    "reading.taken": ngettext_lazy("%(count)d reading", "%(count)d readings", "count"),
    "equipment.counted": ngettext_lazy("%(count)d count", "%(count)d counts", "count"),
    "seal.checked": ngettext_lazy("%(count)d seal", "%(count)d seals", "count"),
    "topic.heard": ngettext_lazy("%(count)d topic", "%(count)d topics", "count"),
    "mark.judged": ngettext_lazy("%(count)d mark looked at again", "%(count)d marks looked at again", "count"),
    "station.rest_as_before": ngettext_lazy(
        "%(count)d station as last return", "%(count)d stations as last return", "count"
    ),
    "photo.added": ngettext_lazy("%(count)d photo", "%(count)d photos", "count"),
    "remark.made": ngettext_lazy("%(count)d remark of the customer", "%(count)d remarks of the customer", "count"),
}
ROLES = {"customer": gettext_noop("customer"), "staff": gettext_noop("staff")}
SIGNED = {"walk.signed", "statement.signed", "statement.unsigned"}
STARTED = {"pickup.started", "return.started"}
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
    words = _(KINDS[entry.kind]) if entry.kind in KINDS else entry.kind.replace(".", ", ").replace("_", " ")
    if entry.kind in STARTED and (sheet := json.loads(entry.payload).get("paper_sheet")):
        return _("%(words)s, keyed in from paper sheet %(number)s") % {"words": words, "number": sheet}
    if entry.kind in SIGNED:
        return f"{words}: {_(ROLES[json.loads(entry.payload)['role']])}"
    return words


def _answers(run: list[Entry]) -> str:
    """12 checks, 4 readings, 1 photo."""
    counted = Counter(entry.kind for entry in run)
    return ", ".join(words % {"count": counted[kind]} for kind, words in ANSWERS.items() if kind in counted)
