"""A walk-round ends: signed, the promise frozen, the unit gone or back."""

from collections.abc import Sequence
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.record.actions import issue_record
from handover.rental.freezing import freeze
from handover.rental.models import Leg, Rental
from handover.statement.models import Signature
from handover.statement.signing import Signed, keep_signature
from handover.trip.legs import begin_next_leg, swap_of
from handover.trip.models import Swap
from handover.turnaround.making import make_jobs
from handover.walkround.answers import answers_of
from handover.walkround.arrival import bare
from handover.walkround.document import shown_digest
from handover.walkround.guard import begin
from handover.walkround.models import Hold, TopicHeard, WalkRound
from handover.walkround.shown import Shown, keep_shown
from shared.access.roles import Right
from shared.access.scope import require
from shared.ledger.personal import worded


@transaction.atomic
def sign_walk(
    walk: WalkRound, *, role: str, name: str, strokes: Sequence[Any], act: Act, seen_sha256: str = "",
    shown: Shown | None = None,
) -> Signature:  # fmt: skip
    """A signature under what was shown: our page by its digest, or what a tablet without a network showed.

    Raises CannotBe when something of our page changed since. Of a tablet's own, what changed is kept beside it.
    """
    if earlier := begin(walk, Signature, "walk.signed", act):
        return earlier
    if shown is None and seen_sha256 != shown_digest(walk):
        raise CannotBe(
            _("Something was changed since this page was shown. Look through it again, then sign."), "strokes"
        )
    content = keep_shown(walk, shown, act) if shown else seen_sha256
    return keep_signature(
        walk, signed=Signed(role, name, strokes), content_sha256=content, kind="walk.signed", act=act
    )  # fmt: skip


@transaction.atomic
def sign_on_paper(walk: WalkRound, *, role: str, name: str, act: Act) -> Signature:
    """Who signed the sheet that this is keyed in from. Nothing is drawn again: the scan of the sheet shows it."""
    if earlier := begin(walk, Signature, "walk.signed", act):
        return earlier
    reason = f"Signed on paper sheet {walk.paper.number}." if walk.paper else ""
    return keep_signature(
        walk, signed=Signed(role, name, reason=reason, drawn=False), content_sha256=shown_digest(walk),
        kind="walk.signed", act=act,
    )  # fmt: skip


@transaction.atomic
def finish(walk: WalkRound, *, act: Act) -> WalkRound:
    """Pickup: the unit goes, the promise is frozen, the record is made. Return: the unit is back, to be priced.

    At a swap the return makes the next leg, and that leg's pickup changes nothing of the promise: it was made once.
    """
    if earlier := begin(walk, WalkRound, f"{walk.kind}.finished", act):
        return earlier
    digest = shown_digest(walk)
    if not walk.is_return:
        _check_may_go(walk, digest, act)
    return _end(walk, digest, act)


@transaction.atomic
def finish_without_its_sheet(walk: WalkRound, *, act: Act) -> WalkRound:
    """A pickup whose sheet of paper is lost: the unit is gone, and nothing that was read, heard or signed is known."""
    if earlier := begin(walk, WalkRound, f"{walk.kind}.finished", act):
        return earlier
    return _end(walk, shown_digest(walk), act)


def _end(walk: WalkRound, digest: str, act: Act) -> WalkRound:
    """`digest` is of what is shown of the walk-round: nothing that ends it changes that."""
    rental = walk.leg.rental
    swap = swap_of(walk.leg) if walk.is_return else None
    if not walk.is_return and rental.frozen is None:
        freeze(rental, at=act.at)
    walk.finished_at, walk.finished_by = act.at, act.by
    walk.save(update_fields=["finished_at", "finished_by"])
    _move_leg(walk, swap)
    rental.state = _state_after(walk, swap)
    rental.save(update_fields=["state"])
    # The last return's record waits for its statement; a unit given up at a swap has no statement of its own.
    if swap or not walk.is_return:
        issue_record(walk.leg, kind=walk.kind, statement=None, act=act)
    act.write(
        chain=rental.pk,
        kind=f"{walk.kind}.finished",
        subject=walk.pk,
        payload={"walk": str(walk.pk), "shown_sha256": digest, "frozen": rental.frozen or {}},
    )
    if walk.is_return:
        make_jobs(walk, act=act)
    return walk


def _state_after(walk: WalkRound, swap: Swap | None) -> Rental.State:
    if swap:
        begin_next_leg(swap)
        return Rental.State.SWAP
    return Rental.State.BACK if walk.is_return else Rental.State.OUT


def _check_may_go(walk: WalkRound, digest: str, act: Act) -> None:
    if hold := walk.holds.filter(released_at=None).first():
        raise CannotBe(_("%(sentence)s A manager can release it, with a reason.") % {"sentence": hold.sentence})
    if waiting := _unheard_safety_topics(walk, act):
        raise CannotBe(_("Keys stay here until these are understood: %(waiting)s.") % {"waiting": ", ".join(waiting)})
    signed = _signed_roles(walk, digest)
    if missing := [role for role in ("customer", "staff") if role not in signed]:
        raise CannotBe(
            _("Still to sign: %(missing)s. Without both signatures the keys stay here.")
            % {"missing": _(" and ").join(_(role) for role in missing)}
        )


def _signed_roles(walk: WalkRound, digest: str) -> set[str]:
    """Of who signed what stands now, or what one tablet showed without a network: never half of each."""
    contents = [digest, *walk.shown_offline.values_list("digest", flat=True)]
    rows = list(walk.signatures.filter(outcome="signed", content_sha256__in=contents))
    by_content = [{str(row.role) for row in rows if row.content_sha256 == content} for content in contents]
    return max(by_content, key=len)


def _unheard_safety_topics(walk: WalkRound, act: Act) -> list[str]:
    """Titles of safety-critical topics not yet confirmed; a declined one is let through by who may release."""
    heard = answers_of([walk])[walk.pk].topics
    topics = [topic for station in walk.sheet.data.stations for topic in station.topics if topic.severity == "S"]
    settled = {TopicHeard.Outcome.UNDERSTOOD}
    if act.by.may(Right.RELEASE):
        settled.add(TopicHeard.Outcome.DECLINED)
    return [topic.title for topic in topics if topic.id not in heard or heard[topic.id].outcome not in settled]


def _move_leg(walk: WalkRound, swap: Swap | None) -> None:
    """The leg runs from the pickup signature to the arrival at the gate, and the unit keeps its odometer."""
    leg, unit = walk.leg, walk.leg.unit
    if walk.is_return:
        leg.ended_at = walk.arrived_at or walk.finished_at
        leg.ended_by, leg.cause = (swap.cause, swap.reason) if swap else (Leg.EndedBy.RETURN, "")
    else:
        leg.started_at, leg.plate = walk.finished_at, bare(unit.plate)
    leg.save(update_fields=["started_at", "ended_at", "ended_by", "cause", "plate"])
    odometer = walk.readings.filter(item__measures="odometer", state="read").last()
    if odometer and odometer.value is not None:
        unit.odometer_km = int(odometer.value)
        unit.save(update_fields=["odometer_km"])


@transaction.atomic
def release(hold: Hold, *, reason: str, act: Act) -> Hold:
    """Lets a held unit go. Only who may release, and only with a reason."""
    rental = hold.walk.leg.rental
    require(act.by, Right.RELEASE, rental.branch_id)
    if earlier := act.replayed(Hold, chain=rental.pk, kind="hold.released"):
        return earlier
    if not reason.strip():
        raise CannotBe(_("A release needs its reason: what was checked, and why the unit may go."), "reason")
    hold.refresh_from_db(fields=["released_at", "reason"])
    if hold.released_at:
        raise CannotBe(_("This was already released: %(reason)s") % {"reason": hold.reason})
    hold.released_at, hold.released_by, hold.reason = act.at, act.by, reason.strip()
    hold.save(update_fields=["released_at", "released_by", "reason"])
    act.write(
        chain=rental.pk,
        kind="hold.released",
        subject=hold.pk,
        payload={"walk": str(hold.walk_id), "sentence": hold.sentence, "reason": worded(hold.reason)},
    )
    return hold
