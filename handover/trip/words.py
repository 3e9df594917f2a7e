"""Each event of a trip as one row of its story, in the words of the trade. Call with the branch's zone active."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.utils.timezone import localtime

from consumables.readable import said as distance_said
from handover.trip.models import (
    DisplacedCustomer,
    ExcessReduction,
    Extension,
    Fault,
    GasReceipt,
    LatenessStop,
    Notice,
    OperatorWait,
    RoadsideCall,
    Swap,
    TripEvent,
)
from shared.clock import local
from shared.money import money_text
from shared.templatetags.figures import clock, day

NOTED_LATER = timedelta(minutes=10)


@dataclass(frozen=True, slots=True)
class Row:
    """`lines` are sentences; `todo` is confirm, tell or empty; `side` colours its peg; `photos` are ids."""

    id: UUID
    title: str
    lines: tuple[str, ...]
    at: datetime
    noted_at: datetime
    by: str
    todo: str = ""
    side: str = ""
    photos: tuple[UUID, ...] = field(default=())

    @property
    def noted_later(self) -> bool:
        return self.noted_at - self.at > NOTED_LATER


def row_of(event: TripEvent, *, photos: tuple[UUID, ...] = ()) -> Row:
    title, lines, todo, side = WORDS[type(event)](event)
    kept = tuple(line for line in lines if line)
    return Row(event.pk, title, kept, event.at, event.noted_at, event.by.short_name, todo, side, photos)


def moment(at: datetime) -> str:
    """25 Oct 01:30; on the night the clocks go back with its offset."""
    here = localtime(at)
    twice = here.replace(fold=0).utcoffset() != here.replace(fold=1).utcoffset()
    return f"{day(at)} {clock(at)}{f' ({here:%Z})' if twice else ''}"


Words = tuple[str, Iterator[str], str, str]


def _extension(event: Extension) -> Words:
    def lines() -> Iterator[str]:
        yield f"New return {moment(event.new_return_at)}. Agreed: {event.channel}."
        yield f"{event.days} × {money_text(event.day_rate, event.rental.currency)}."
        if event.confirmed_at and event.confirmed_by:
            yield f"Confirmed {moment(event.confirmed_at)}, {event.confirmed_by.short_name}."
        else:
            yield "Not confirmed: the planned return stays as it was."

    days = "1 day" if event.days == 1 else f"{event.days} days"
    return f"Extension, {days}", lines(), "" if event.confirmed_at else "confirm", ""


def _swap(event: Swap) -> Words:
    def lines() -> Iterator[str]:
        yield f"{event.reason}. {event.get_cause_display()} cause. {event.place}."
        yield f"Moved over: {event.moved}." if event.moved else ""
        if event.to_leg and event.to_leg.started_at:
            yield f"Unit {event.to_leg.unit.number} handed over {moment(event.to_leg.started_at)}."

    return f"Unit {event.from_leg.unit.number} given up for unit {event.to_unit.number}", lines(), "", "return"


def _receipt(event: GasReceipt) -> Words:
    def lines() -> Iterator[str]:
        yield f"{money_text(event.amount, event.currency)}. {event.reason}."
        if event.card_amount is not None:
            yield f"Card charged {money_text(event.card_amount, event.rental.currency)}."
        if event.rate is not None:
            yield f"Rate of the day {event.rate.normalize():f}."
        yield "The branch’s fault." if event.operator_fault else "Not the branch’s fault."

    return f"Gas bought, {event.ref}", lines(), "", ""


def _fault(event: Fault) -> Words:
    def lines() -> Iterator[str]:
        yield f"{event.symptom} {'Can be driven.' if event.drivable else 'Cannot be driven.'}"
        yield f"Told to: {event.instruction}" if event.instruction else ""
        unit = event.rental.branch.distance_unit
        odometer = f"{distance_said(event.odometer_km, unit)} {unit}" if event.odometer_km is not None else ""  # type: ignore[arg-type]
        yield ", ".join(part for part in (f"Unit {event.leg.unit.number}", event.place, odometer) if part) + "."

    return f"Fault reported: {event.system}", lines(), "", ""


def _roadside(event: RoadsideCall) -> Words:
    def lines() -> Iterator[str]:
        yield f"{event.diagnosis}. Cause: {event.get_cause_display().lower()}."
        if event.distance:
            yield f"{event.distance.normalize():f} {event.distance_unit} driven for the branch."
        yield f"Unit {event.leg.unit.number}."

    return f"Roadside, case {event.case_reference}", lines(), "", ""


def _wait(event: OperatorWait) -> Words:
    return "Waited on the branch", iter((f"Until {moment(event.until)}: {event.cause}.",)), "", ""


def _stop(event: LatenessStop) -> Words:
    reference = f"Reference {event.reference}." if event.reference else ""
    return "Lateness stops", iter((f"{event.get_cause_display()}.", reference)), "", ""


def _displaced(event: DisplacedCustomer) -> Words:
    cost = money_text(event.cost, event.rental.currency)
    return "Next customer displaced", iter((f"Cost {cost}. Proof: {event.proof}.",)), "", ""


def _reduction(event: ExcessReduction) -> Words:
    currency = event.rental.currency
    line = f"Bought for {money_text(event.price, currency)}. Counts from {moment(event.from_at)}."
    return f"Excess lowered to {money_text(event.excess, currency)}", iter((line,)), "", ""


def _notice(event: Notice) -> Words:
    def lines() -> Iterator[str]:
        yield f"{event.authority}, {money_text(event.amount, event.rental.currency)}. {event.get_handling_display()}."
        yield f"Unit {event.leg.unit.number}, {event.plate}{f', {event.place}' if event.place else ''}."
        if event.zone != event.rental.branch.zone:
            yield f"{local(event.at, event.zone):%H:%M} there, by the clocks of {event.zone}."
        yield "The branch caused it: not charged." if event.operator_caused else ""
        yield "It lay here past its deadline: no handling fee." if event.operator_delay else ""
        if event.customer_told_on:
            yield f"Received {event.received_on:%-d %b %Y}, customer told {event.customer_told_on:%-d %b %Y}."
        else:
            yield f"Received {event.received_on:%-d %b %Y}. Not charged before the customer has a copy."

    return f"{event.get_kind_display()} {event.ref}", lines(), "" if event.customer_told_on else "tell", ""


WORDS: dict[type[TripEvent], Callable[[Any], Words]] = {
    Extension: _extension,
    Swap: _swap,
    GasReceipt: _receipt,
    Fault: _fault,
    RoadsideCall: _roadside,
    OperatorWait: _wait,
    LatenessStop: _stop,
    DisplacedCustomer: _displaced,
    ExcessReduction: _reduction,
    Notice: _notice,
}
