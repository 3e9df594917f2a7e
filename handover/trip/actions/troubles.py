"""Faults as the customer reports them, and what roadside assistance found."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from consumables.readable import MILE_KM
from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.trip.guard import begin, check_happened, words, written
from handover.trip.legs import leg_of
from handover.trip.models import Fault, RoadsideCall, Whose
from shared.access.roles import Right

FAULT, ROADSIDE = "trip.fault", "trip.roadside"
MOST_DISTANCE = Decimal(10_000)
MOST_ODOMETER = 2_000_000


@dataclass(frozen=True, slots=True)
class FaultSaid:
    """`odometer` as it stands on the dash, in the branch's unit."""

    reported_at: datetime
    system: str
    symptom: str
    drivable: bool
    instruction: str = ""
    place: str = ""
    odometer: int | None = None


@dataclass(frozen=True, slots=True)
class RoadsideSaid:
    """`distance` driven for the branch (to a workshop, round a detour), in the branch's unit."""

    case_reference: str
    arrived_at: datetime
    diagnosis: str
    cause: str
    distance: Decimal = Decimal(0)


@transaction.atomic
def note_fault(*, rental: Rental, fault: FaultSaid, act: Act) -> Fault:
    """What does not work, and what the customer was told to do. Raises CannotBe."""
    if earlier := begin(rental, Fault, FAULT, Right.BOOK, act):
        return earlier
    check_happened(rental, fault.reported_at, act, field="reported_at")
    _need(fault.system, _("Say what does not work: fridge, heating, engine."), "system")
    _need(fault.symptom, _("Say what it does or does not do, in the customer’s words."), "symptom")
    if not fault.drivable:
        _need(fault.instruction, _("It cannot be driven: say what the customer was told to do."), "instruction")
    kept = Fault.objects.create(
        id=act.key, rental=rental, at=fault.reported_at, noted_at=act.at, by=act.by,
        leg=leg_of(rental, fault.reported_at), system=fault.system.strip(), symptom=fault.symptom.strip(),
        drivable=fault.drivable, instruction=fault.instruction.strip(), place=fault.place.strip(),
        odometer_km=_km(fault.odometer, rental),
    )  # fmt: skip
    act.write(
        chain=rental.pk, kind=FAULT, subject=kept.pk,
        payload={
            "leg": kept.leg.number, "reported_at": written(kept.at, rental), "system": kept.system,
            "drivable": kept.drivable, "odometer_km": kept.odometer_km, "symptom": words(kept.symptom),
            "instruction": words(kept.instruction), "place": words(kept.place),
        },
    )  # fmt: skip
    return kept


def _need(text: str, sentence: str, field: str) -> None:
    if not text.strip():
        raise CannotBe(sentence, field)


def _km(odometer: int | None, rental: Rental) -> int | None:
    if odometer is None:
        return None
    if not 0 <= odometer <= MOST_ODOMETER:
        raise CannotBe(
            _("%(odometer)s stands on no odometer. Give the figure as it is on the dash.") % {"odometer": odometer},
            "odometer",
        )
    return round(odometer * MILE_KM) if rental.branch.distance_unit == "mi" else odometer


@transaction.atomic
def note_roadside(*, rental: Rental, call: RoadsideSaid, act: Act) -> RoadsideCall:
    """Assistance came: its case, when, what it found, and by whose cause. Raises CannotBe."""
    if earlier := begin(rental, RoadsideCall, ROADSIDE, Right.BOOK, act):
        return earlier
    check_happened(rental, call.arrived_at, act, field="arrived_at")
    _need(call.case_reference, _("Give the case reference of the assistance."), "case_reference")
    _need(call.diagnosis, _("Say what they found, in plain words."), "diagnosis")
    if call.cause not in Whose.values:
        raise CannotBe(_("Say whose cause it was, or that nobody knows yet."), "cause")
    if not 0 <= call.distance <= MOST_DISTANCE:
        raise CannotBe(
            _("%(distance)s cannot be right. Give 0 to %(most)s.") % {"distance": call.distance, "most": MOST_DISTANCE},
            "distance",
        )
    kept = RoadsideCall.objects.create(
        id=act.key, rental=rental, at=call.arrived_at, noted_at=act.at, by=act.by,
        leg=leg_of(rental, call.arrived_at), case_reference=call.case_reference.strip(),
        diagnosis=call.diagnosis.strip(), cause=call.cause, distance=call.distance,
        distance_unit=rental.branch.distance_unit,
    )  # fmt: skip
    act.write(
        chain=rental.pk, kind=ROADSIDE, subject=kept.pk,
        payload={
            "leg": kept.leg.number, "arrived_at": written(kept.at, rental),
            "case_reference": words(kept.case_reference),
            "cause": kept.cause, "distance": str(kept.distance), "distance_unit": kept.distance_unit,
            "diagnosis": words(kept.diagnosis),
        },
    )  # fmt: skip
    return kept
