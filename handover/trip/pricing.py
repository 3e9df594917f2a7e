"""The trip's part of the pricing document: what was agreed, bought, reported and sent in between pickup and return."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any

from consumables.readable import MILE_KM, figure
from handover.rental.models import Leg, Rental
from handover.trip.guard import written
from handover.trip.models import ExcessReduction, Extension, GasReceipt, Notice, TripEvent
from shared.clock import local
from shared.money import exponent


def with_trip(document: Mapping[str, Any], rental: Rental) -> dict[str, Any]:
    """The document with the trip laid over it; without any event it stays as it is."""
    part = trip_part(rental)
    laid: dict[str, Any] = {**document, **{name: part[name] for name in ("gas_receipts", "notices") if name in part}}
    for name in ("rental", "sources"):
        if part.get(name):
            laid[name] = {**document.get(name, {}), **part[name]}
    if part.get("prepaid"):
        laid["prepaid"] = [*document.get("prepaid", []), *part["prepaid"]]
    pairs = zip(document.get("legs", []), part["legs"], strict=False)
    return laid | {"legs": [leg | said for leg, said in pairs]} if any(part["legs"]) else laid


def trip_part(rental: Rental) -> dict[str, Any]:
    """By the keys of the pricing document. `legs` has one entry a leg handed over; the rest only what there is."""
    legs = list(rental.legs.filter(started_at__isnull=False))
    extensions = sorted(rental.extensions.select_related("by"), key=_by_return)
    receipts = list(rental.gasreceipts.select_related("by"))
    notices = list(rental.notices.select_related("by"))
    part: dict[str, Any] = {
        "rental": {**_extended(extensions, rental), **_times(rental, legs), **_distance(rental)},
        "legs": [_swapped(leg) for leg in legs],
        "prepaid": [_reduction(row, rental) for row in rental.excessreductions.all()],
        "gas_receipts": [_receipt(row, rental) for row in receipts],
        "notices": [_notice(row, rental) for row in notices],
        "sources": {
            **_noted(extensions, "rental.extensions[{}].{}", ("days", "day_rate"), "agreement", rental),
            **_noted(receipts, "gas_receipts[{}].{}", ("amount", "card_amount"), "receipt", rental),
            **_noted(notices, "notices[{}].{}", ("amount", "penalty"), "notice", rental),
        },
    }
    return {name: value for name, value in part.items() if value or name == "legs"}


def _amount(amount: Decimal, currency: str) -> str:
    return f"{amount:.{exponent(currency)}f}"


def _extended(extensions: list[Extension], rental: Rental) -> dict[str, Any]:
    """The planned return moved with each confirmed extension; the document begins with the one that was signed."""
    if not extensions:
        return {}
    first = next((row.was_back_at for row in extensions if row.was_back_at), None)
    moved = {"scheduled_return_at": written(first, rental)} if first else {}
    return moved | {"extensions": [_extension(row, rental) for row in extensions]}


def _by_return(row: Extension) -> tuple[datetime, datetime]:
    """Each confirmed one begins where the one before it ended; one not confirmed stands among them, uncounted."""
    return row.was_back_at or row.new_return_at, row.new_return_at


def _extension(row: Extension, rental: Rental) -> dict[str, Any]:
    return {
        "days": row.days,
        "day_rate": _amount(row.day_rate, rental.currency),
        "new_return_at": written(row.new_return_at, rental),
        "agreed_at": written(row.at, rental),
        "channel": row.channel,
        "confirmed": row.confirmed_at is not None,
    }


def _times(rental: Rental, legs: list[Leg]) -> dict[str, Any]:
    said: dict[str, Any] = {}
    if waits := [*_waits(rental), *_between_legs(rental, legs)]:
        said["operator_waits"] = waits
    if stop := rental.latenessstops.first():
        said["stops_at"] = {"at": written(stop.at, rental), "cause": stop.cause}
    if displaced := rental.displacedcustomers.order_by("noted_at").last():
        said["next_booking"] = {"cost": _amount(displaced.cost, rental.currency), "proof": displaced.proof}
    return said


def _waits(rental: Rental) -> Iterator[dict[str, str]]:
    for wait in rental.operatorwaits.all():
        yield _wait(wait.at, wait.until, wait.cause, rental)


def _between_legs(rental: Rental, legs: list[Leg]) -> Iterator[dict[str, str]]:
    """Between two units, swapped by the operator's cause, the customer waits on the operator."""
    for before, after in pairwise(legs):
        if before.ended_by == Leg.EndedBy.OPERATOR and before.ended_at and after.started_at:
            yield _wait(before.ended_at, max(before.ended_at, after.started_at), "unit swap", rental)


def _wait(start: datetime, end: datetime, cause: str, rental: Rental) -> dict[str, str]:
    return {"from": written(start, rental), "to": written(end, rental), "cause": cause}


def _distance(rental: Rental) -> dict[str, str]:
    """What was driven for the operator, in the unit that distance is charged in."""
    rules = (rental.frozen or {}).get("rules", {})
    unit = rules.get("distance", {}).get("unit", rental.branch.distance_unit)
    calls = rental.roadsidecalls.filter(distance__gt=0)
    total = sum((_in(row.distance, row.distance_unit, unit) for row in calls), Decimal(0))
    return {"operator_distance": figure(total)} if total else {}


def _in(distance: Decimal, said: str, wanted: str) -> Decimal:
    if said == wanted:
        return distance
    return round(distance * MILE_KM if wanted == "km" else distance / MILE_KM, 1)


def _swapped(leg: Leg) -> dict[str, str]:
    return {"swap_cause": leg.ended_by} if leg.ended_by in {Leg.EndedBy.OPERATOR, Leg.EndedBy.CUSTOMER} else {}


def _reduction(row: ExcessReduction, rental: Rental) -> dict[str, Any]:
    excess = _amount(row.excess, rental.currency)
    return {
        "name": f"Excess lowered to {excess}",
        "purchased_at": written(row.at, rental),
        "price": _amount(row.price, rental.currency),
        "late_purchase": "from_now",
        "excess": {"excess": excess, "from": written(row.from_at, rental)},
    }


def _receipt(row: GasReceipt, rental: Rental) -> dict[str, Any]:
    said: dict[str, Any] = {
        "ref": row.ref,
        "amount": _amount(row.amount, row.currency),
        "currency": row.currency,
        "reason": row.reason,
        "operator_fault": row.operator_fault,
    }
    if row.card_amount is not None:
        said["card_amount"] = _amount(row.card_amount, rental.currency)
    return said | ({"rate": figure(row.rate)} if row.rate is not None else {})


def _notice(row: Notice, rental: Rental) -> dict[str, Any]:
    return {
        "kind": row.kind,
        "ref": row.ref,
        "amount": _amount(row.amount, rental.currency),
        "handling": row.handling,
        "at": written(row.at, rental),
        "received_on": row.received_on.isoformat(),
        "customer_told_on": row.customer_told_on.isoformat() if row.customer_told_on else None,
        "must_be_told": True,
        "operator_caused": row.operator_caused,
        "operator_delay": row.operator_delay,
        "penalty": _amount(row.penalty, rental.currency),
    }


def _noted(
    rows: Iterable[TripEvent], path: str, fields: tuple[str, ...], instrument: str, rental: Rental
) -> dict[str, Any]:  # fmt: skip
    """Where each figure comes from: who noted it, when, on what paper."""
    return {
        path.format(number, field): {
            "who": str(row.by),
            "at": local(row.noted_at, rental.branch.zone).isoformat(timespec="seconds"),
            "instrument": instrument,
            "answer": str(row.pk),
            "photos": [],
        }
        for number, row in enumerate(rows)
        for field in fields
    }
