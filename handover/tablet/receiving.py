"""Entries arrive: each by itself, so that one that cannot be blocks no other; each once, however often it is sent."""

import logging
from collections.abc import Iterable, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid5

from django.db import IntegrityError, OperationalError, transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from handover.acting import CannotBe
from handover.tablet.devices import proven
from handover.tablet.disagreeing import is_disagreement, keep_disagreement, settle, standing
from handover.tablet.entry import Entry, corrected, entry_of, key_of, storable
from handover.tablet.models import Receipt
from handover.tablet.plain import Again, again_after
from handover.tablet.telling import Held, Teller, branch_of, tell, told_of, walk_told_of
from handover.tablet.uploads import bytes_of, forget
from handover.tablet.waiting import Waiting, is_all_before
from handover.walkround.models import Answer, WalkRound
from handover.walkround.told import TOLD
from shared.access.models import Device, Person
from shared.files.away import StoreAway

logger = logging.getLogger(__name__)
MOST = 50
ENDS = {"hand-over", "take-back"}
Outcome = Receipt.Outcome


@dataclass(frozen=True, slots=True)
class Ack:
    """What became of one entry: ok, duplicate, conflict, held, rejected or waiting."""

    key: str
    status: str
    sentence: str = ""
    field: str = ""


@dataclass(frozen=True, slots=True)
class RowOf:
    """The row of an answered Reading, and the key it was answered under."""

    key: UUID
    walk: UUID
    number: int
    item: UUID


@dataclass(slots=True)
class Batch:
    """What one tablet sends at once, and who sends it on. `shown` are stations to show again, `ended` walk-rounds.

    `walks` are those that it tells answers of, as the sender may see them.

    A tablet that `mirrors` goes on showing what it said by itself, and one that `takes_rows` puts `rows` into what it
    has; older pages of it need each station back.
    """

    device: Device
    relayed_by: Person
    now: datetime
    skew: timedelta = timedelta()
    mirrors: bool = False
    takes_rows: bool = False
    walks: Mapping[UUID, WalkRound] = field(default_factory=dict)
    rows: list[RowOf] = field(default_factory=list)
    shown: dict[tuple[UUID, int], None] = field(default_factory=dict)
    ended: dict[UUID, None] = field(default_factory=dict)

    @property
    def skew_ms(self) -> int:
        return round(self.skew / timedelta(milliseconds=1))

    def numbers_shown(self, walk_id: UUID) -> list[int]:
        return [number for shown, number in self.shown if shown == walk_id]

    def rows_alone(self) -> list[RowOf]:
        """Those whose station does not come back whole."""
        return [row for row in self.rows if (row.walk, row.number) not in self.shown]


@dataclass(frozen=True, slots=True)
class Result:
    """Of one entry, before it is written down; `again` is what of its page the tablet needs back."""

    outcome: Outcome
    sentence: str = ""
    field: str = ""
    author: Person | None = None
    seq: int | None = None
    again: Again = Again.STATION
    walk: WalkRound | None = None


@dataclass(frozen=True, slots=True)
class Acted:
    """OK or CONFLICT, what of its page the tablet needs back, and on which walk-round."""

    outcome: Outcome
    again: Again = Again.STATION
    walk: WalkRound | None = None


def entries_of(sent: Sequence[Any]) -> list[Entry]:
    """Those with a key, in the order of their numbers; what is more than a batch holds is left for the next one."""
    entries = [entry_of(key, raw) for raw in sent[:MOST] if (key := key_of(raw))]
    return sorted(entries, key=lambda entry: entry.seq or 0)


def unkeyed(sent: Sequence[Any]) -> list[Ack]:
    return [_unkeyed(raw) for raw in sent[:MOST] if key_of(raw) is None]


def receive(batch: Batch, entries: Iterable[Entry]) -> list[Ack]:
    return [_received(batch, entry) for entry in entries]


def _unkeyed(raw: Any) -> Ack:
    key = raw.get("key") if isinstance(raw, dict) else ""
    return Ack(str(key), "rejected", _("What came has no key and cannot be kept. Answer it once more."))


def _received(batch: Batch, entry: Entry) -> Ack:
    """Of one key that arrives twice at the same moment, one is written and the other finds it."""
    for _attempt in range(2):
        try:
            return _once(batch, entry)
        except IntegrityError:
            continue
        except Waiting:
            break
        except (OperationalError, StoreAway):
            raise
        except Exception:
            # It stays on the tablet and comes again; what is behind it goes on.
            logger.exception("Entry %s of device %s could not be taken.", entry.key, batch.device.pk)
            break
    return Ack(str(entry.key), "waiting")


def _show_again(batch: Batch, entry: Entry, ack: Ack, again: Again = Again.STATION) -> None:
    if again is Again.ROW and batch.takes_rows and entry.walk and entry.station and entry.item:
        batch.rows.append(RowOf(entry.key, entry.walk, entry.station, entry.item))
    elif entry.walk and entry.station and not (again is Again.NOTHING and batch.mirrors):
        batch.shown[entry.walk, entry.station] = None
    if entry.walk and entry.kind in ENDS and ack.status in {"ok", "duplicate"}:
        batch.ended[entry.walk] = None


def _once(batch: Batch, entry: Entry) -> Ack:
    """A photo is decoded outside any transaction: it takes a second, in which nobody else could write."""
    with nullcontext() if entry.kind == "photo" else transaction.atomic():
        # Of one tablet one entry at a time: what stands must not move between looking and writing.
        kept = None if entry.kind == "photo" else Device.objects.select_for_update().get(pk=batch.device.pk)
        key, by_key = _receipt_key(batch, entry), _receipts(batch, entry)
        if earlier := by_key.pop(key, None):
            ack = _again(batch, entry, earlier)
            _show_again(batch, entry, ack)
            return ack
        result = _numbered_twice(batch, entry) if by_key else _result(batch, entry)
        _keep(batch, entry, result)
        if kept and result.seq == kept.contiguous_seq + 1:
            Device.objects.filter(pk=kept.pk).update(contiguous_seq=result.seq)
    if entry.kind == "photo" and result.outcome != Outcome.HELD:
        forget(entry.key)
    ack = Ack(str(entry.key), result.outcome, result.sentence, result.field)
    _show_again(batch, entry, ack, result.again)
    return ack


def _receipt_key(batch: Batch, entry: Entry) -> UUID:
    """A beginning has the key of its walk-round on every tablet, and each of them its own receipt for it."""
    return uuid5(entry.key, str(batch.device.pk)) if entry.kind == "begin" else entry.key


def _receipts(batch: Batch, entry: Entry) -> dict[UUID, Receipt]:
    """By their keys: of this entry, and of another that the tablet gave the same number."""
    same = Q(pk=_receipt_key(batch, entry))
    if entry.seq:
        same |= Q(device=batch.device, seq=entry.seq)
    return {receipt.pk: receipt for receipt in Receipt.objects.filter(same)}


def _numbered_twice(batch: Batch, entry: Entry) -> Result:
    logger.error("Device %s gave its number %s to two entries.", batch.device.pk, entry.seq)
    return Result(Outcome.REJECTED, _("The tablet numbered this like another answer. Answer it once more."))


def _again(batch: Batch, entry: Entry, earlier: Receipt) -> Ack:
    """The outcome that it had. A key that stands for something else is refused."""
    key = str(entry.key)
    if earlier.sha256 != entry.sha256 or earlier.device_id != batch.device.pk:
        logger.error("Key %s of device %s was sent for two things.", key, batch.device.pk)
        return Ack(key, "rejected", _("This was already sent as something else. Answer it once more."))
    if earlier.is_written:
        return Ack(key, "duplicate")
    return Ack(key, earlier.outcome, earlier.sentence, earlier.field)


def _result(batch: Batch, entry: Entry) -> Result:
    """Raises Waiting where something has still to come first."""
    author = proven(entry.token, batch.device, batch.relayed_by)
    author = author if author and author.pk == entry.author else None
    try:
        acted = _told(batch, entry, author)
    except Held as held:
        return Result(Outcome.HELD, held.sentence, "", author, entry.seq)
    except CannotBe as problem:
        return Result(Outcome.REJECTED, problem.sentence, problem.field[:40], author, entry.seq)
    return Result(acted.outcome, "", "", author, entry.seq, acted.again, acted.walk)


def _told(batch: Batch, entry: Entry, author: Person | None) -> Acted:
    if entry.wrong or entry.at is None:
        raise CannotBe(_("A part of it cannot be read: %(part)s. Answer it once more.") % {"part": entry.wrong})
    if author is None:
        raise Held(_("Who told this is not proven: nobody signed in as that person on this tablet."))
    at = corrected(entry.at, skew=batch.skew, now=batch.now)
    teller = Teller(author, batch.device, at, batch.skew_ms)
    seen = batch.walks.get(entry.walk) if entry.walk and author.pk == batch.relayed_by.pk else None
    return tell_and_compare(entry, teller, seen)


def tell_and_compare(entry: Entry, teller: Teller, seen: WalkRound | None = None) -> Acted:
    """Acts; two answers that do not agree are both kept. Raises Held, CannotBe, Waiting.

    `seen` is the walk-round, where it was read before in the author's branches.
    """
    walk = seen or walk_told_of(entry, teller.author)
    if (walk is None or entry.kind in ENDS) and not is_all_before(teller.device, entry.seq):
        raise Waiting
    told = told_of(entry, teller)
    if entry.kind == "photo":
        told = replace(told, data=_bytes(entry))
    was = standing(entry, walk) if walk else None
    row = tell(entry, teller, walk, told)
    if walk is None or not isinstance(row, Answer):
        return Acted(Outcome.OK, again_after(walk, row), walk)
    settle(walk, entry.fields.all("settles"), row, told.act)
    if was is None or not is_disagreement(entry, walk, was, row, teller.device):
        return Acted(Outcome.OK, again_after(walk, row), walk)
    keep_disagreement(walk, entry.kind, was, row)
    return Acted(Outcome.CONFLICT, walk=walk)


def _bytes(entry: Entry) -> bytes:
    if "lost" in entry.fields:
        raise CannotBe(_("The photo is not on the tablet any more. Take it once more."), "photo")
    return bytes_of(entry.key, entry.fields.get("size"))


def _keep(batch: Batch, entry: Entry, result: Result) -> None:
    written = result.outcome in {Outcome.OK, Outcome.CONFLICT}
    Receipt.objects.create(
        key=_receipt_key(batch, entry),
        device=batch.device,
        seq=result.seq,
        kind=entry.kind if entry.kind in TOLD else "other",
        walk_id=entry.walk,
        outcome=result.outcome,
        sentence=storable(result.sentence),
        field=result.field,
        author=result.author,
        relayed_by=batch.relayed_by,
        branch_id=result.walk.leg.rental.branch_id if result.walk else branch_of(entry.walk, batch.relayed_by),
        at=corrected(entry.at, skew=batch.skew, now=batch.now) if entry.at else None,
        received_at=batch.now,
        skew_ms=batch.skew_ms,
        sha256=entry.sha256,
        body="" if written else entry.body,
    )
