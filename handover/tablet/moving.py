"""What a batch changed of a walk-round that the tablet has whole: its own answers alone, or something more.

After its own answers the tablet has everything: the station comes back with the acknowledgement. It is told the new
version, so that it does not fetch all stations again for what it has said itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.http import Http404

from handover.tablet.bundles import versions_of
from handover.tablet.entry import entry_of, key_of
from handover.walkround.models import Hold, TopicHeard, WalkRound
from handover.walkround.queries import walk_of
from shared.access.models import Device, Person
from shared.ledger.models import Entry

# What shows at its own station alone; a mark stands on every plan, a hold at every station.
AT_ITS_STATION = {"check", "reading", "count", "seal", "topic", "photo"}


@dataclass(frozen=True, slots=True)
class Version:
    """Of a walk-round at a moment: the tag of its bundle, and how long its chain is."""

    walk: WalkRound
    etag: str
    length: int


def versions_before(person: Person, sent: Sequence[Any]) -> list[Version]:
    """Of each walk-round that this batch tells only answers of."""
    kinds: dict[UUID, set[str]] = {}
    for key, raw in ((key_of(raw), raw) for raw in sent):
        if key and (entry := entry_of(key, raw)).walk:
            kinds.setdefault(entry.walk, set()).add(entry.kind)
    walks = {walk_id: _walk(person, walk_id) for walk_id, told in kinds.items() if told <= AT_ITS_STATION}
    return [
        _version(walk, person)
        for walk_id, walk in walks.items()
        if walk and not ("topic" in kinds[walk_id] and _is_first_topic(walk))
    ]


def moved(person: Person, device: Device, before: Sequence[Version]) -> list[dict[str, str]]:
    """[{walk, from, to}] of those in which nothing but this tablet's answers came between."""
    said = []
    for was in before:
        now = _version(was.walk, person)
        if now.length > was.length and _is_own(device, was):
            said.append({"walk": str(was.walk.pk), "from": was.etag, "to": now.etag})
    return said


def _is_first_topic(walk: WalkRound) -> bool:
    """With it the language is chosen, which every station shows."""
    return not walk.language and not TopicHeard.objects.filter(walk=walk).exists()


def _walk(person: Person, walk_id: UUID) -> WalkRound | None:
    try:
        return walk_of(person, walk_id)
    except Http404:
        return None


def _version(walk: WalkRound, person: Person) -> Version:
    versions = versions_of([walk.leg])
    return Version(walk, versions.etag(walk, person), versions.lengths.get(walk.leg.rental_id, 0))


def _is_own(device: Device, was: Version) -> bool:
    """Asked after the later tag: an entry that the tag does not tell of yet counts as another's all the same."""
    later = Entry.objects.filter(chain=was.walk.leg.rental_id, sequence__gt=was.length)
    held = Hold.objects.filter(walk=was.walk).exists()
    return not held and not later.exclude(device=str(device.pk)).exists()
