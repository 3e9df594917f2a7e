"""Decisions about damages, each with its reason."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.guard import BEING_LOOKED_AT, begin, needed, never_dearer_after_the_cut_off
from handover.damage.found import damages_of
from handover.damage.models import Grouping, MoveVerdict, RepairPrice
from handover.damage.moved import moved_of
from handover.rental.models import Rental
from handover.written import check_words
from shared.access.roles import Right
from shared.canonical import Json
from shared.clock import local
from shared.dates import moment_text
from shared.ledger.personal import worded
from shared.money import exponent


@transaction.atomic
def group_damages(rental: Rental, *, events: Sequence[dict[str, Any]], reason: str, act: Act) -> Grouping:
    """Say which marks are one event. Every damage belongs to exactly one; a reason is demanded either way.

    `events` are {"id", "cause", "place", "marks"} and, where it is known, "at": ISO 8601 with its offset.
    """
    if earlier := begin(rental, Grouping, "damages.grouped", act, states=BEING_LOOKED_AT):
        return earlier
    if not reason.strip():
        raise CannotBe(_("Say why these belong together, or why not: one event more is one excess more."), "reason")
    _check_words(events)
    _check_times(rental, events, act)
    _check_complete(rental, events)
    with never_dearer_after_the_cut_off(rental, act):
        grouping = Grouping.objects.create(
            id=act.key, rental=rental, events=list(events), reason=reason.strip(), at=act.at, by=act.by
        )
    act.write(
        chain=rental.pk,
        kind="damages.grouped",
        subject=grouping.pk,
        payload={"events": [_told(event) for event in events], "reason": worded(grouping.reason)},
    )
    return grouping


def _told(event: Mapping[str, Any]) -> dict[str, Json]:
    """What caused it and where are typed words."""
    return {**event, "cause": worded(event["cause"]), "place": worded(event["place"])}


def _check_words(events: Sequence[dict[str, Any]]) -> None:
    for event in events:
        for name, most in (("id", 8), ("cause", 200), ("place", 80)):
            check_words(event[name], "events", most=most)


def _check_times(rental: Rental, events: Sequence[Mapping[str, Any]], act: Act) -> None:
    """Its time decides which excess was in force: between the pickup and now."""
    for number, event in enumerate(events, start=1):
        at = datetime.fromisoformat(event["at"]) if event.get("at") else None
        if at and rental.frozen_at and not rental.frozen_at - timedelta(minutes=1) < at <= act.at:
            raise CannotBe(
                _("It happened between the pickup, %(out)s, and now. Compare the day and the time.")
                % {"out": moment_text(local(rental.frozen_at, rental.branch.zone))},
                f"at-{number}",
            )


def _check_complete(rental: Rental, events: Sequence[dict[str, Any]]) -> None:
    grouped = [mark for event in events for mark in event["marks"]]
    found = {str(damage.mark.pk): damage.ref for damage in damages_of(rental)}
    if missing := [ref for mark, ref in found.items() if mark not in grouped]:
        raise CannotBe(
            _("%(missing)s belongs to no event yet. Each mark belongs to one.") % {"missing": missing[0]}, "events"
        )
    if len(grouped) != len(set(grouped)) or set(grouped) - set(found):
        raise CannotBe(
            _("A mark stands in two events, or is no damage of this rental. Each mark belongs to one."), "events"
        )


@transaction.atomic
def price_repair(rental: Rental, *, mark: UUID, basis: str, amount: Decimal, reference: str, act: Act) -> RepairPrice:
    """Enter an estimate, or the invoice; the difference between them goes back to the customer, never the other way."""
    if earlier := begin(rental, RepairPrice, "repair.priced", act, states=BEING_LOOKED_AT):
        return earlier
    if mark not in {damage.mark.pk for damage in damages_of(rental)}:
        raise CannotBe(_("This mark is no damage of this rental."), "mark")
    if amount <= 0 or -int(amount.normalize().as_tuple().exponent) > exponent(rental.currency):
        raise CannotBe(
            _("%(amount)s cannot be a price in %(currency)s. Give an amount above 0.")
            % {"amount": amount, "currency": rental.currency},
            "amount",
        )
    if not reference.strip():
        raise CannotBe(_("Say whose estimate or invoice it is, with its number."), "reference")
    priced = RepairPrice.objects.create(
        id=act.key, rental=rental, mark_id=mark, basis=RepairPrice.Basis(basis), amount=amount,
        reference=reference.strip(), at=act.at, by=act.by,
    )  # fmt: skip
    act.write(
        chain=rental.pk,
        kind="repair.priced",
        subject=priced.pk,
        payload={
            "mark": priced.mark.number,
            "basis": basis,
            "amount": str(amount),
            "reference": worded(priced.reference),
        },
    )
    return priced


@transaction.atomic
def decide_moved(rental: Rental, *, mark: UUID, outcome: str, words: str, act: Act) -> MoveVerdict:
    """Charged all the same, or dropped, with the reason; the latest of a mark counts. Raises CannotBe."""
    if earlier := begin(rental, MoveVerdict, "damage.move_decided", act, right=Right.REOPEN, states=BEING_LOOKED_AT):
        return earlier
    damages = {damage.mark.pk: damage for damage in damages_of(rental)}
    if mark not in damages or not moved_of(rental, [damages[mark].walk]).walks:
        raise CannotBe(_("This mark is no damage of this rental, or was photographed before the unit moved."), "mark")
    if outcome not in MoveVerdict.Outcome.values:
        raise CannotBe(_("Say whether it is charged or dropped."), "outcome")
    reason = needed(words, "words", _("Say what speaks for it: who saw the unit where, and when."))
    with never_dearer_after_the_cut_off(rental, act):
        verdict = MoveVerdict.objects.create(
            id=act.key, rental=rental, mark_id=mark, outcome=outcome, words=reason, at=act.at, by=act.by
        )
    told: dict[str, Json] = {"mark": damages[mark].mark.number, "outcome": outcome, "words": worded(reason)}
    act.write(chain=rental.pk, kind="damage.move_decided", subject=verdict.pk, payload=told)
    return verdict
