"""Each event of a trip as one row of its story, in the words of the trade. Call with the branch's zone active."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.utils.timezone import localtime
from django.utils.translation import gettext as _

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
from shared.dates import clock_text, dated, moment_text
from shared.money import money_text
from shared.phrasebook import inside

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
    return f"{moment_text(here)}{f' ({here:%Z})' if twice else ''}"


Words = tuple[str, Iterator[str], str, str]


def _extension(event: Extension) -> Words:
    def lines() -> Iterator[str]:
        yield _("New return %(new_return_at)s. Agreed: %(channel)s.") % {
            "new_return_at": moment(event.new_return_at),
            "channel": event.channel,
        }
        yield f"{event.days} × {money_text(event.day_rate, event.rental.currency)}."
        if event.confirmed_at and event.confirmed_by:
            yield _("Confirmed %(confirmed_at)s, %(name)s.") % {
                "confirmed_at": moment(event.confirmed_at),
                "name": event.confirmed_by.short_name,
            }
        else:
            yield _("Not confirmed: the planned return stays as it was.")

    days = _("1 day") if event.days == 1 else _("%(days)s days") % {"days": event.days}
    return _("Extension, %(days)s") % {"days": days}, lines(), "" if event.confirmed_at else "confirm", ""


def _swap(event: Swap) -> Words:
    def lines() -> Iterator[str]:
        yield _("%(reason)s. %(cause)s cause. %(place)s.") % {
            "reason": event.reason,
            "cause": event.get_cause_display(),
            "place": event.place,
        }
        yield _("Moved over: %(moved)s.") % {"moved": event.moved} if event.moved else ""
        if event.to_leg and event.to_leg.started_at:
            yield _("Unit %(unit)s handed over %(started_at)s.") % {
                "unit": event.to_leg.unit.number,
                "started_at": moment(event.to_leg.started_at),
            }

    return (
        _("Unit %(unit)s given up for unit %(to_unit)s")
        % {"unit": event.from_leg.unit.number, "to_unit": event.to_unit.number},
        lines(),
        "",
        "return",
    )


def _receipt(event: GasReceipt) -> Words:
    def lines() -> Iterator[str]:
        yield f"{money_text(event.amount, event.currency)}. {event.reason}."
        if event.card_amount is not None:
            yield _("Card charged %(card_amount)s.") % {
                "card_amount": money_text(event.card_amount, event.rental.currency)
            }
        if event.rate is not None:
            yield _("Rate of the day %(rate)s.") % {"rate": format(event.rate.normalize(), "f")}
        yield _("The branch’s fault.") if event.operator_fault else _("Not the branch’s fault.")

    return _("Gas bought, %(ref)s") % {"ref": event.ref}, lines(), "", ""


def _fault(event: Fault) -> Words:
    def lines() -> Iterator[str]:
        drivable = _("Can be driven.") if event.drivable else _("Cannot be driven.")
        yield f"{event.symptom} {drivable}"
        yield _("Told to: %(instruction)s") % {"instruction": event.instruction} if event.instruction else ""
        unit = event.rental.branch.distance_unit
        odometer = f"{distance_said(event.odometer_km, unit)} {unit}" if event.odometer_km is not None else ""  # type: ignore[arg-type]
        yield (
            ", ".join(
                part for part in (_("Unit %(unit)s") % {"unit": event.leg.unit.number}, event.place, odometer) if part
            )
            + "."
        )

    return _("Fault reported: %(system)s") % {"system": event.system}, lines(), "", ""


def _roadside(event: RoadsideCall) -> Words:
    def lines() -> Iterator[str]:
        yield _("%(diagnosis)s. Cause: %(cause)s.") % {
            "diagnosis": event.diagnosis,
            "cause": inside(event.get_cause_display()),
        }
        if event.distance:
            yield _("%(distance)s %(distance_unit)s driven for the branch.") % {
                "distance": format(event.distance.normalize(), "f"),
                "distance_unit": event.distance_unit,
            }
        yield _("Unit %(unit)s.") % {"unit": event.leg.unit.number}

    return _("Roadside, case %(case_reference)s") % {"case_reference": event.case_reference}, lines(), "", ""


def _wait(event: OperatorWait) -> Words:
    return (
        _("Waited on the branch"),
        iter((_("Until %(until)s: %(cause)s.") % {"until": moment(event.until), "cause": event.cause},)),
        "",
        "",
    )


def _stop(event: LatenessStop) -> Words:
    reference = _("Reference %(reference)s.") % {"reference": event.reference} if event.reference else ""
    return _("Lateness stops"), iter((f"{event.get_cause_display()}.", reference)), "", ""


def _displaced(event: DisplacedCustomer) -> Words:
    cost = money_text(event.cost, event.rental.currency)
    return (
        _("Next customer displaced"),
        iter((_("Cost %(cost)s. Proof: %(proof)s.") % {"cost": cost, "proof": event.proof},)),
        "",
        "",
    )


def _reduction(event: ExcessReduction) -> Words:
    currency = event.rental.currency
    line = _("Bought for %(price)s. Counts from %(from_at)s.") % {
        "price": money_text(event.price, currency),
        "from_at": moment(event.from_at),
    }
    return _("Excess lowered to %(excess)s") % {"excess": money_text(event.excess, currency)}, iter((line,)), "", ""


def _notice(event: Notice) -> Words:
    def lines() -> Iterator[str]:
        yield f"{event.authority}, {money_text(event.amount, event.rental.currency)}. {event.get_handling_display()}."
        place = f", {event.place}" if event.place else ""
        yield _("Unit %(unit)s, %(plate)s%(place)s.") % {
            "unit": event.leg.unit.number,
            "plate": event.plate,
            "place": place,
        }
        if event.zone != event.rental.branch.zone:
            yield _("%(at)s there, by the clocks of %(zone)s.") % {
                "at": clock_text(local(event.at, event.zone)),
                "zone": event.zone,
            }
        yield _("The branch caused it: not charged.") if event.operator_caused else ""
        yield _("It lay here past its deadline: no handling fee.") if event.operator_delay else ""
        if event.customer_told_on:
            yield _("Received %(received_on)s, customer told %(customer_told_on)s.") % {
                "received_on": dated(event.received_on),
                "customer_told_on": dated(event.customer_told_on),
            }
        else:
            yield _("Received %(received_on)s. Not charged before the customer has a copy.") % {
                "received_on": dated(event.received_on)
            }

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
