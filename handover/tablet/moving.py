"""What a batch changed of a walk-round that the tablet has whole: its own answers alone, or something more.

After its own answers the tablet has everything: the station comes back, or it shows the answer by itself. It is told
the new version, so that it does not fetch all stations again for what it has said.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from handover.tablet.bundles import Versions, versions_of
from handover.tablet.entry import Entry
from handover.walkround.models import Hold, WalkRound
from handover.walkround.queries import to_act_on
from shared.access.models import Device, Person
from shared.access.scope import scoped
from shared.ledger import models as ledger

# What shows at its own station alone; a mark stands on every plan, a hold at every station.
AT_ITS_STATION = {"check", "reading", "count", "seal", "topic", "photo"}


@dataclass(frozen=True, slots=True)
class Version:
    """Of a walk-round at a moment: the tag of its bundle, how long its chain is, and what they were read of."""

    walk: WalkRound
    etag: str
    length: int
    read: Versions


def versions_before(person: Person, entries: Iterable[Entry]) -> list[Version]:
    """Of each walk-round that this batch tells only answers of."""
    kinds: dict[UUID, set[str]] = {}
    for entry in entries:
        if entry.walk:
            kinds.setdefault(entry.walk, set()).add(entry.kind)
    told = [walk_id for walk_id, of_it in kinds.items() if of_it <= AT_ITS_STATION]
    walks = scoped(to_act_on().filter(pk__in=told), person, "leg__rental__branch")
    return [_version(walk, person, versions_of([walk.leg])) for walk in walks]


def moved(person: Person, device: Device, before: Sequence[Version]) -> list[dict[str, str]]:
    """[{walk, from, to}] of those in which nothing but this tablet's answers came between.

    Answers leave the marks of the unit as they were. Where somebody else has changed one meanwhile, the later tag is of
    nothing that there ever was, and the tablet fetches.
    """
    said = []
    for was in before:
        now = _version(was.walk, person, was.read.later())
        if now.length > was.length and _is_own(device, was):
            said.append({"walk": str(was.walk.pk), "from": was.etag, "to": now.etag})
    return said


def _version(walk: WalkRound, person: Person, read: Versions) -> Version:
    return Version(walk, read.etag(walk, person), read.lengths.get(walk.leg.rental_id, 0), read)


def _is_own(device: Device, was: Version) -> bool:
    """Asked after the later tag: an entry that the tag does not tell of yet counts as another's all the same."""
    later = ledger.Entry.objects.filter(chain=was.walk.leg.rental_id, sequence__gt=was.length)
    held = Hold.objects.filter(walk=was.walk).exists()
    return not held and not later.exclude(device=str(device.pk)).exists()
