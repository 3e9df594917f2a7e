"""What is kept for a person, in the words of the walk-round it belongs to."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from uuid import UUID

from django.conf import settings
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from handover.tablet.entry import Entry
from handover.tablet.held import entry_in, held_at, may_settle
from handover.tablet.models import Receipt
from handover.walkround.guard import right_of
from handover.walkround.models import WalkRound
from handover.walkround.page.figures import spoken
from shared.access.models import Person
from shared.access.scope import scoped

KINDS = {
    "begin": gettext_lazy("Begin"),
    "check": gettext_lazy("Check"),
    "reading": gettext_lazy("Reading"),
    "count": gettext_lazy("Count"),
    "seal": gettext_lazy("Seal"),
    "topic": gettext_lazy("Topic"),
    "language": gettext_lazy("Language of the briefing"),
    "mark": gettext_lazy("New mark"),
    "judge": gettext_lazy("Mark"),
    "rest": gettext_lazy("Rest as before"),
    "photo": gettext_lazy("Photo"),
    "remark": gettext_lazy("What the customer says"),
    "hand-over": gettext_lazy("Hand over the keys"),
    "take-back": gettext_lazy("Finish the return"),
    "release": gettext_lazy("Release"),
}
LABELS = {
    "note": gettext_lazy("note"),
    "seal_number": gettext_lazy("seal"),
    "used": gettext_lazy("used"),
    "kind": gettext_lazy("kind"),
    "part": gettext_lazy("part"),
    "place": gettext_lazy("where"),
    "size_mm": gettext_lazy("longest side, mm"),
    "x_mm": gettext_lazy("from the centre line, mm"),
    "y_mm": gettext_lazy("behind the nose, mm"),
    "reason": gettext_lazy("reason"),
    "name_customer": gettext_lazy("signed for the customer by"),
    "strokes_customer": gettext_lazy("signature of the customer"),
    "strokes_staff": gettext_lazy("signature of the host"),
    "arrived_at": gettext_lazy("at the gate"),
    "mode": gettext_lazy("who was here"),
    "keys_found_at": gettext_lazy("keys found at"),
    "keys_found_by": gettext_lazy("keys found by"),
    "plate": gettext_lazy("plate"),
    "view": gettext_lazy("view"),
}
# What a program needs and nobody reads.
UNSAID = {
    "shown",
    "shown_sha256",
    "seen_sha256",
    "sha256",
    "text_sha256",
    "seconds",
    "size",
    "type",
    "settles",
    "offered",
}


@dataclass(frozen=True, slots=True)
class HeldRow:
    """`told` are (name, value) as they were sent, the answer itself without a name; what is drawn is named only."""

    receipt: Receipt
    what: str
    told: tuple[tuple[str, str], ...]
    claimed: str


@dataclass(frozen=True, slots=True)
class HeldWalk:
    """Everything held of one walk-round; None where there is no such one at the person's branches."""

    walk: WalkRound | None
    may: bool
    rows: list[HeldRow] = field(default_factory=list)

    @property
    def zone(self) -> str:
        """Of the branch whose clock the times are read by."""
        branch = self.walk.leg.rental.branch if self.walk else self.rows[0].receipt.branch
        return branch.zone if branch else settings.TIME_ZONE


def held_walks(person: Person) -> list[HeldWalk]:
    """In four queries however many are held."""
    receipts = list(held_at(person))
    walks = _walks(person, {receipt.walk_id for receipt in receipts if receipt.walk_id})
    entries = {receipt.pk: entry_in(receipt) for receipt in receipts}
    names = _names(entry.author for entry in entries.values() if entry.author)
    return [
        _held_walk(walks.get(walk_id) if walk_id else None, person, list(rows), entries, names)
        for walk_id, rows in groupby(receipts, key=lambda receipt: receipt.walk_id)
    ]


def _walks(person: Person, ids: Iterable[UUID]) -> dict[UUID, WalkRound]:
    rows = WalkRound.objects.filter(pk__in=ids).select_related(
        "sheet", "leg__unit", "leg__rental__customer", "leg__rental__branch"
    )
    return {walk.pk: walk for walk in scoped(rows, person, "leg__rental__branch")}


def _names(ids: Iterable[UUID]) -> dict[UUID, str]:
    return {person.pk: str(person) for person in Person.objects.filter(pk__in=set(ids))}


def _held_walk(
    walk: WalkRound | None, person: Person, receipts: Sequence[Receipt], entries: dict[UUID, Entry],
    names: dict[UUID, str],
) -> HeldWalk:  # fmt: skip
    may = person.may(right_of(walk)) if walk else may_settle(person)
    rows = [_row(receipt, entries[receipt.pk], walk, names) for receipt in receipts]
    return HeldWalk(walk, may, rows)


def _row(receipt: Receipt, entry: Entry, walk: WalkRound | None, names: dict[UUID, str]) -> HeldRow:
    kind = str(KINDS.get(receipt.kind, _("Something this version does not know")))
    what = ", ".join(part for part in (kind, _asked(walk, entry.item), _where(walk, entry.station)) if part)
    claimed = names.get(entry.author, "") if entry.author and receipt.author_id is None else ""
    return HeldRow(receipt, what, tuple(_told(entry)), claimed)


def _asked(walk: WalkRound | None, item: UUID | None) -> str:
    for station in walk.sheet.data.stations if walk else ():
        named = {ask.id: spoken(ask) for ask in station.instruments}
        named |= {ask.id: ask.text for ask in station.checks} | {ask.id: ask.title for ask in station.topics}
        named |= {ask.id: ask.name for ask in station.kits} | {ask.id: ask.name for ask in station.counts}
        if item in named:
            return named[item]
    return ""


def _where(walk: WalkRound | None, number: int | None) -> str:
    station = walk.sheet.data.station(number) if walk and number else None
    return f"{station.number} {station.name}" if station else ""


def _told(entry: Entry) -> Iterator[tuple[str, str]]:
    for name, values in entry.fields.said.items():
        if name in UNSAID or not any(values):
            continue
        drawn = name.startswith("strokes")
        yield str(LABELS.get(name, "")), _("drawn") if drawn else ", ".join(values).replace("_", " ")
