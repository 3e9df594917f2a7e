"""A report of a device in a unit is kept. It replaces no reading of a walk-round, and no charge rests on it."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from consumables.readable import Scale, impossible, impossible_odometer
from fleet.models import Unit
from handover.acting import Act, CannotBe
from handover.reported.models import ReportedReading
from handover.reported.queries import last_odometer
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.phrasebook import said

KIND = "reading.reported"
AHEAD = timedelta(minutes=5)
OLDEST = timedelta(days=400)
BATTERY = Scale(name="The battery", measures="house_battery", unit="V")


@dataclass(frozen=True, slots=True)
class Report:
    """What one device told of one moment; at least one figure. `at` is aware."""

    instrument: str
    at: datetime
    odometer_km: Decimal | None = None
    fuel_percent: Decimal | None = None
    battery_volts: Decimal | None = None


@transaction.atomic
def report_reading(*, unit: Unit, report: Report, act: Act) -> ReportedReading:
    """Keep what a device reports. Raises CannotBe, NotAllowed, Http404.

    Who may see a unit may say what its instruments tell. An odometer below what is known is kept with its doubt:
    which of the two is wrong, a person finds out.
    """
    require(act.by, Right.SEE, unit.branch_id)
    if earlier := act.replayed(ReportedReading, chain=unit.pk, kind=KIND):
        return earlier
    _check(report, act)
    row = ReportedReading.objects.create(
        id=act.key, unit=unit, instrument=report.instrument, at=report.at, received_at=act.at,
        odometer_km=report.odometer_km, fuel_percent=report.fuel_percent, battery_volts=report.battery_volts,
        doubt=_doubt(unit, report), by=act.by,
    )  # fmt: skip
    act.write(chain=unit.pk, kind=KIND, subject=row.pk, payload=_told(row))
    return row


def _check(report: Report, act: Act) -> None:
    if report.odometer_km is None and report.fuel_percent is None and report.battery_volts is None:
        raise CannotBe(_("A report holds at least one figure: odometer, fuel or battery."))
    if report.at > act.at + AHEAD:
        raise CannotBe(_("This time is still to come. Is the clock of the device right?"), "at")
    if report.at < act.at - OLDEST:
        raise CannotBe(_("This is older than %(days)s days and is kept no more.") % {"days": OLDEST.days}, "at")
    if report.fuel_percent is not None and not 0 <= report.fuel_percent <= 100:
        raise CannotBe(_("A tank is 0 to 100 % full."), "fuel_percent")
    if report.battery_volts is not None and (sentence := impossible(BATTERY, report.battery_volts)):
        raise CannotBe(said(sentence), "battery_volts")


def _doubt(unit: Unit, report: Report) -> str:
    if report.odometer_km is None:
        return ""
    known = last_odometer(unit, before=report.at)
    return impossible_odometer(report.odometer_km, before_km=known, unit="km") if known is not None else ""


def _told(row: ReportedReading) -> dict[str, Json]:
    figures = {"odometer_km": row.odometer_km, "fuel_percent": row.fuel_percent, "battery_volts": row.battery_volts}
    return {
        "instrument": row.instrument,
        "at": row.at.isoformat(),
        **{name: str(value) for name, value in figures.items() if value is not None},
        "doubt": row.doubt,
    }
