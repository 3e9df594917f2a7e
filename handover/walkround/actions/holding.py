"""What keeps a unit here: set by the answer that shows it, put right by a later one, released by who may."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db.models import QuerySet

from fleet.models import UnitKit
from handover.acting import Act
from handover.cabcard.loading import load_of
from handover.rental.due import let_go_of
from handover.walkround.models import CheckAnswer, Hold, Reading, WalkRound
from handover.walkround.sheet import CheckAsk, InstrumentAsk, KitAsk
from handover.walkround.stopping import CAUSES, expired_kit, overloaded, too_full, worn_tyre
from shared.access.models import Person
from shared.clock import local
from shared.ledger.rows import written
from shared.phrasebook import in_house_language

Cause = Hold.Cause
KIT_KINDS = {True: "first_aid", False: "extinguisher"}


@dataclass(frozen=True, slots=True)
class Judged:
    """What was judged: `sentence` is empty when it may go, `good` then says why. `by` and `at` of the answer."""

    cause: Cause
    subject: UUID
    sentence: str
    good: str
    by: Person
    at: datetime


def open_holds(walk: WalkRound, subject: UUID) -> QuerySet[Hold]:
    return Hold.objects.filter(walk=walk, subject=subject, released_at=None)


def settle_check(walk: WalkRound, ask: CheckAsk, answer: CheckAnswer) -> None:
    """A later good answer needs no release: what failed was put right, and both answers stay.

    An answer that a tablet kept for a while may be the older one when it arrives: then it settles nothing.
    """
    if not ask.safety or _is_older(answer):
        return
    if answer.word == CheckAnswer.Word.BAD:
        hold_unit(walk, ask, answer)
    elif answer.word == CheckAnswer.Word.GOOD:
        _put_right(walk, ask.id, answer.by, answer.at, f"Checked again: {ask.good.lower()}.")


def hold_unit(walk: WalkRound, ask: CheckAsk, answer: CheckAnswer) -> None:
    """One hold for a safety check, however often it was found bad."""
    if ask.safety:
        _hold(walk, Judged(Cause.CHECK, ask.id, ask.stops_with, "", answer.by, answer.at), answer=answer)


def _is_older(answer: CheckAnswer | Reading) -> bool:
    rows: Any = type(answer)._default_manager
    later: bool = rows.filter(walk_id=answer.walk_id, item_id=answer.item_id, at__gt=answer.at).exists()
    return later


def settle_reading(walk: WalkRound, ask: InstrumentAsk, reading: Reading) -> None:
    """A worn tyre or a cylinder too full holds a unit at its pickup until it is read again and good, or released."""
    if walk.is_return or ask.measures not in CAUSES or reading.value is None or _is_older(reading):
        return
    if sentence := reading_stops(walk, ask, reading):
        hold_reading(walk, ask, reading, sentence)
    else:
        _put_right(walk, ask.id, reading.by, reading.at, f"Read again: {reading.typed or reading.value} {ask.unit}.")


def hold_reading(walk: WalkRound, ask: InstrumentAsk, reading: Reading, sentence: str) -> None:
    judged = Judged(Cause(CAUSES[ask.measures]), ask.id, sentence, "", reading.by, reading.at)
    _hold(walk, judged, reading=reading)


@in_house_language
def reading_stops(walk: WalkRound, ask: InstrumentAsk, reading: Reading) -> str:
    """Why this reading keeps the unit here; empty when it may go."""
    if walk.is_return or reading.value is None:
        return ""
    if ask.measures == "gas":
        return too_full(ask, reading.value)
    if ask.measures != "tread":
        return ""
    country, most = walk.leg.rental.branch.country, walk.sheet.data.max_mass_kg
    return worn_tyre(ask, reading.value, country=country, max_mass_kg=most)


def settle_kits(walk: WalkRound, act: Act) -> None:
    """At the pickup's begin, whether or not anybody looks at the seals later."""
    for _station, ask in walk.sheet.data.kits():
        settle_kit(walk, ask, act)


@in_house_language
def settle_kit(walk: WalkRound, ask: KitAsk, act: Act) -> None:
    """By the date of the kit that is in the unit now: a new one is entered there, then its seal is checked again."""
    if walk.is_return:
        return
    held = UnitKit.objects.filter(unit=walk.leg.unit_id, kit=ask.id).first()
    expires_on = held.expires_on if held else None
    leaves_on, back_on = _days(walk, act)
    sentence = expired_kit(ask, expires_on, leaves_on=leaves_on, back_on=back_on)
    if sentence and expires_on and (KIT_KINDS[ask.sealed], expires_on.isoformat()) in _let_go(walk):
        return
    _judge(walk, Judged(Cause.KIT, ask.id, sentence, f"Good until {expires_on}.", act.by, act.at), act)


def _let_go(walk: WalkRound) -> set[tuple[str, str]]:
    return let_go_of(walk.leg.unit_id, walk.leg.rental_id)


def _days(walk: WalkRound, act: Act) -> tuple[date, date]:
    rental = walk.leg.rental
    today, back = (local(when, rental.branch.zone).date() for when in (act.at, rental.planned_back_at))
    return today, max(today, back)


@in_house_language
def settle_load(walk: WalkRound, act: Act) -> None:
    """At the pickup's begin, and again when its fresh water is read or another party is planned."""
    if walk.is_return:
        return
    people, payload = load_of(walk.leg)
    good = f"Reckoned again with {people} people: within the plate."
    _judge(walk, Judged(Cause.LOAD, walk.leg_id, overloaded(payload, people=people), good, act.by, act.at), act)


def _judge(walk: WalkRound, judged: Judged, act: Act) -> None:
    """What was released for just these figures stays released; of a new hold the ledger has an entry of its own."""
    if not judged.sentence:
        _put_right(walk, judged.subject, judged.by, judged.at, judged.good)
    elif not _is_let_go(walk, judged) and _hold(walk, judged):
        replace(act, key=uuid5(act.key, f"held {judged.subject}")).write(
            chain=walk.leg.rental_id, kind="unit.held", subject=judged.subject,
            payload={"walk": str(walk.pk), "cause": judged.cause.value, "sentence": judged.sentence},
        )  # fmt: skip


def _is_let_go(walk: WalkRound, judged: Judged) -> bool:
    last = Hold.objects.filter(walk=walk, subject=judged.subject, sentence=judged.sentence).last()
    return last is not None and last.released_at is not None and not last.put_right


def _hold(walk: WalkRound, judged: Judged, **cause: CheckAnswer | Reading) -> bool:
    """Whether it is a new hold. The open one, if there is one, says how it is now."""
    if standing := open_holds(walk, judged.subject).first():
        if standing.sentence != judged.sentence:
            standing.sentence = judged.sentence
            standing.save(update_fields=["sentence"])
        return False
    row = Hold(walk=walk, cause=judged.cause, subject=judged.subject, sentence=judged.sentence, **cause)
    row.save(force_insert=True)
    return True


def _put_right(walk: WalkRound, subject: UUID, by: Person, at: datetime, reason: str) -> None:
    holds = list(open_holds(walk, subject))
    if holds:
        Hold.objects.filter(pk__in=[hold.pk for hold in holds]).update(
            released_at=at, released_by=by, reason=reason, put_right=True
        )
        written(holds)
