"""An entry becomes an act of its author: the walk-round found in the author's scope, the action called.

What cannot be decided by a program is Held: a person looks at it.
"""

import logging
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import OperationalError, transaction
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Leg
from handover.tablet.entry import Entry
from handover.walkround import actions
from handover.walkround.models import WalkRound
from handover.walkround.queries import to_act_on
from handover.walkround.told import TOLD, Told
from shared.access.models import Device, Person
from shared.access.scope import NotAllowed, scoped
from shared.files.away import StoreAway

logger = logging.getLogger(__name__)


class Held(Exception):
    """Kept for a person to decide; the sentence says why."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Teller:
    """Who told it, on which tablet, when by the server's clock, and how far the tablet's was ahead of it."""

    author: Person
    device: Device
    at: datetime
    skew_ms: int | None = None


def tell(entry: Entry, teller: Teller, walk: WalkRound | None, told: Told) -> object:
    """The row that the action wrote. Raises CannotBe for what can be told another way, Held for what a person decides.

    OperationalError and StoreAway go through: database or store is busy, and the entry is sent again.
    """
    if entry.kind not in TOLD:
        raise Held(_("This version does not know what “%(kind)s” is.") % {"kind": entry.kind[:20]})
    if walk is None:
        raise Held(_("There is no such walk-round at your branch."))
    # What breaks takes back only itself. A photo is decoded outside any transaction, and keeps its own.
    if entry.kind == "begin" and not walk._state.adding:
        return walk
    alone: AbstractContextManager[object] = nullcontext() if entry.kind == "photo" else transaction.atomic()
    try:
        with alone:
            return TOLD[entry.kind](walk, told)
    except NotAllowed as problem:
        raise Held(str(problem)) from problem
    except Http404 as problem:
        raise Held(_("There is no such walk-round at your branch.")) from problem
    except CannotBe as problem:
        raise _closed_or(walk, entry, problem) from problem
    except (OperationalError, StoreAway):
        raise
    except Exception as problem:
        logger.exception("Entry %s (%s) of device %s broke; it is held.", entry.key, entry.kind, teller.device.pk)
        raise Held(_("This could not be written as it came. It is kept; a person has to look at it.")) from problem


def _closed_or(walk: WalkRound, entry: Entry, problem: CannotBe) -> Exception:
    """A closed walk-round, and an end that was signed without a network, are for a person; the rest is said again."""
    is_closed = WalkRound.objects.filter(pk=walk.pk, finished_at__isnull=False).exists()
    is_gone = is_closed or "shown" in entry.fields
    return Held(problem.sentence) if is_gone else problem


def walk_told_of(entry: Entry, author: Person) -> WalkRound | None:
    """As it stands in the author's branches; of one that begins now, not stored yet."""
    if entry.walk is None:
        return None
    try:
        return get_object_or_404(scoped(to_act_on(), author, "leg__rental__branch"), pk=entry.walk)
    except Http404:
        return _beginning(entry, author) if entry.kind == "begin" else None


def _beginning(entry: Entry, author: Person) -> WalkRound | None:
    kind = entry.fields.get("kind")
    if entry.item is None:
        return None
    legs = Leg.objects.select_related("unit__layout", "rental__branch", "rental__customer")
    leg = scoped(legs, author, "rental__branch").filter(pk=entry.item).first()
    if leg is None or kind not in WalkRound.Kind.values or actions.walk_id_of(leg, kind) != entry.walk:
        return None
    return WalkRound(pk=entry.walk, leg=leg, kind=kind)


def told_of(entry: Entry, teller: Teller) -> Told:
    act = Act(by=teller.author, at=teller.at, key=entry.key, device=str(teller.device.pk))
    return Told(act=act, fields=entry.fields, item=entry.item, station=entry.station, skew_ms=teller.skew_ms)


def branch_of(walk_id: UUID | None, otherwise: Person) -> UUID | None:
    """Whose people look at what is held: the walk-round's branch, else where the sender works."""
    walks = WalkRound.objects.filter(pk=walk_id) if walk_id else WalkRound.objects.none()
    found = walks.values_list("leg__rental__branch_id", flat=True).first()
    return found or otherwise.postings.order_by("branch__name").values_list("branch_id", flat=True).first()
