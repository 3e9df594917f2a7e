"""What a program could not decide: a person of the branch tries it again, or sets it aside with a reason."""

import json
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Count, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.acting import Act, CannotBe
from handover.tablet.entry import Entry, entry_of, key_of
from handover.tablet.models import Receipt
from handover.tablet.receiving import tell_and_compare
from handover.tablet.telling import Held, Teller
from handover.tablet.uploads import forget
from handover.tablet.waiting import Waiting
from handover.walkround.guard import right_of
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.access.roles import Right
from shared.access.scope import NotAllowed, require
from shared.ledger.personal import worded

Settled = Receipt.Settled
EITHER = (Right.PICKUP, Right.RETURN)


def held_at(person: Person) -> QuerySet[Receipt]:
    """What waits for a person at the branches of this one; of no branch, what they sent themselves."""
    own = Q(branch__in=person.branch_ids) | Q(branch=None, relayed_by=person)
    waiting = Receipt.objects.filter(own, outcome=Receipt.Outcome.HELD, settled_at=None)
    return waiting.select_related("author", "relayed_by", "device", "branch").order_by("walk_id", "seq", "key")


def with_held(branches: QuerySet[Branch]) -> QuerySet[Any]:
    """Each with how many wait there as `kept_for_a_person`."""
    waiting = Receipt.objects.filter(branch=OuterRef("pk"), outcome=Receipt.Outcome.HELD, settled_at=None)
    counted = waiting.order_by().values("branch").annotate(of=Count("pk")).values("of")
    return branches.annotate(kept_for_a_person=Coalesce(Subquery(counted), 0))


def may_settle(person: Person) -> bool:
    return any(person.may(right) for right in EITHER)


def entry_in(receipt: Receipt) -> Entry:
    """As it came. A receipt has it as long as it is not written as rows."""
    raw = json.loads(receipt.body)
    return entry_of(key_of(raw) or receipt.key, raw)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where it belongs: the walk-round as far as there is one, and the chain of the ledger that tells of it."""

    walk: WalkRound | None
    chain: UUID


@transaction.atomic
def try_again(receipt: Receipt, *, act: Act) -> Receipt:
    """Tells it once more: under its proven author while they may, else under whoever tries. Raises CannotBe."""
    place = _place(receipt)
    _check_right(place, act.by)
    if earlier := act.replayed(Receipt, chain=place.chain, kind="entry.tried_again"):
        return earlier
    kept = _still_held(receipt)
    entry = entry_in(kept)
    teller = Teller(_author(kept, place, act.by), kept.device, kept.at or act.at, kept.skew_ms)
    try:
        with transaction.atomic():
            tell_and_compare(entry, teller)
    except Held as held:
        raise CannotBe(held.sentence) from held
    except Waiting as waiting:
        raise CannotBe(_("Something that belongs to it is still on the tablet. Let it send first.")) from waiting
    return _settle(kept, place, Settled.TRIED, "", act)


@transaction.atomic
def set_aside(receipt: Receipt, *, reason: str, act: Act) -> Receipt:
    """It is not written, and never will be; what was sent stays with the reason. Raises CannotBe without one."""
    place = _place(receipt)
    _check_right(place, act.by)
    if earlier := act.replayed(Receipt, chain=place.chain, kind="entry.set_aside"):
        return earlier
    kept = _still_held(receipt)
    if not reason.strip():
        raise CannotBe(_("Say why it is set aside: somebody told it and will ask."), "reason")
    return _settle(kept, place, Settled.SET_ASIDE, reason.strip(), act)


def _place(receipt: Receipt) -> _Place:
    walks = WalkRound.objects.select_related("leg__rental")
    walk = walks.filter(pk=receipt.walk_id).first() if receipt.walk_id else None
    return _Place(walk, walk.leg.rental_id if walk else receipt.branch_id or receipt.device_id)


def _check_right(place: _Place, person: Person) -> None:
    if place.walk:
        require(person, right_of(place.walk), place.walk.leg.rental.branch_id)
    elif not may_settle(person):
        raise NotAllowed(_("Hosts, the return bay and managers look after what is kept for a person."))


def _still_held(receipt: Receipt) -> Receipt:
    """Read again under the lock: somebody else may have settled it meanwhile."""
    kept = Receipt.objects.select_for_update().get(pk=receipt.pk)
    if kept.settled_at:
        raise CannotBe(_("%(name)s has seen to this already.") % {"name": kept.settled_by})
    return kept


def _author(receipt: Receipt, place: _Place, trying: Person) -> Person:
    """Nobody's name is set under what they could not do, and nobody's whose sign-in is not proven."""
    author = receipt.author
    if author is None or place.walk is None:
        return trying
    may = author.may(right_of(place.walk)) and place.walk.leg.rental.branch_id in author.branch_ids
    return author if may else trying


def _settle(receipt: Receipt, place: _Place, how: Settled, reason: str, act: Act) -> Receipt:
    receipt.settled, receipt.settled_by, receipt.settled_at, receipt.reason = how, act.by, timezone.now(), reason
    receipt.save(update_fields=["settled", "settled_by", "settled_at", "reason"])
    act.write(
        chain=place.chain,
        kind="entry.tried_again" if how == Settled.TRIED else "entry.set_aside",
        subject=receipt.pk,
        payload={
            "walk": str(receipt.walk_id) if receipt.walk_id else None, "kind": receipt.kind, "reason": worded(reason),
            "device": str(receipt.device_id), "author": str(receipt.author_id) if receipt.author_id else None,
        },
    )  # fmt: skip
    if receipt.kind == "photo":
        transaction.on_commit(lambda: forget(receipt.key))
    return receipt
