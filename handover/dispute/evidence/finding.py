"""One plain finding, and how what it rests on is said."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import TypeAlias

from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.dates import dated_moment
from shared.ledger.models import Entry


class Side(StrEnum):
    """Which way a finding speaks; a bare fact speaks neither way."""

    FOR = "for"
    AGAINST = "against"
    FACT = "fact"


@dataclass(frozen=True, slots=True)
class Finding:
    """A sentence, what it rests on, and which way it speaks about the line that is asked for."""

    words: str
    rests_on: str
    side: Side = Side.FACT


Found: TypeAlias = Iterator[Finding]


def person_and_time(who: Person | None, at: datetime) -> str:
    """Isla M., 14 Aug 2026 10:12."""
    name = who.short_name if who else _("not finished")
    return _("%(who)s, %(at)s") % {"who": name, "at": dated_moment(localtime(at))}


def in_the_ledger(entry: Entry) -> str:
    who = entry.actor.short_name if entry.actor else _("the customer")
    return _("Ledger entry %(sequence)s, %(who)s, %(at)s") % {
        "sequence": entry.sequence, "who": who, "at": dated_moment(localtime(entry.happened_at)),
    }  # fmt: skip


def of_walk(walk: WalkRound) -> str:
    when = person_and_time(walk.finished_by, walk.finished_at or walk.started_at)
    return _("%(kind)s, %(when)s") % {"kind": walk.get_kind_display(), "when": when}
