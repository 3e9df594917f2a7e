"""The demo's eight units, one of them held back by its overdue gas inspection."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import NamedTuple

from fleet.models import Branch, DueDate, Instrument, Kit, Layout, Unit, UnitInstrument, UnitKit

Kind = DueDate.Kind


class DemoUnit(NamedTuple):
    number: str
    plate: str
    vin: str
    branch: str
    layout: str
    odometer_km: int
    in_service_on: date
    first_aid_seal: str


# No maker's identifier begins with 0. Where the market uses a check digit, place 9 holds it.
UNITS = (
    DemoUnit("118", "LRK 118", "0LKSKERRYPL000118", "inverlark", "skerry", 91_744, date(2023, 3, 20), "93388"),
    DemoUnit("140", "LRK 140", "0LKSKERRYPL000140", "inverlark", "skerry", 88_020, date(2023, 4, 3), "93395"),
    DemoUnit("212", "LRK 212", "0LKSKERRYRL000212", "inverlark", "skerry", 70_511, date(2024, 2, 26), "93401"),
    DemoUnit("305", "LRK 305", "0LKSKERRYSL000305", "inverlark", "skerry", 33_902, date(2025, 3, 10), "93407"),
    DemoUnit("407", "LRK 407", "0LKSKERRYRL000407", "inverlark", "skerry", 66_290, date(2024, 5, 13), "93412"),
    DemoUnit("512", "LRK 512", "0LKSKERRYSL000512", "inverlark", "skerry", 28_455, date(2025, 5, 19), "93420"),
    DemoUnit("266", "PAV 266", "0LKMACHR6RP000266", "port-averil", "machair", 54_830, date(2024, 4, 22), "71206"),
    DemoUnit("271", "PAV 271", "0LKMACHR2SP000271", "port-averil", "machair", 21_377, date(2025, 5, 5), "71213"),
)
OVERDUE = {("512", Kind.GAS): -9}
DAYS_LEFT = {
    Kind.REGISTRATION: 210,
    Kind.INSURANCE: 161,
    Kind.GAS: 130,
    Kind.ELECTRICAL: 340,
    Kind.EXTINGUISHER: 98,
    Kind.FIRST_AID: 455,
    Kind.ALARMS: 1460,
    Kind.TYRES: 620,
}


def load_units(branches: Mapping[str, Branch], layouts: Mapping[str, Layout], *, today: date) -> dict[str, Unit]:
    """Every unit by number. The odometer of a unit that is already here stays: it may have been driven since."""
    return {
        row.number: _unit(row, branches[row.branch], layouts[row.layout], nth, today) for nth, row in enumerate(UNITS)
    }


def _unit(row: DemoUnit, branch: Branch, layout: Layout, nth: int, today: date) -> Unit:
    unit, _ = Unit.objects.get_or_create(
        number=row.number,
        defaults={
            "branch": branch,
            "layout": layout,
            "plate": row.plate,
            "vin": row.vin,
            "vin_has_check_digit": row.branch == "port-averil",
            "odometer_km": row.odometer_km,
            "in_service_on": row.in_service_on,
        },
    )
    _keep_due_dates(unit, nth, today)
    _keep_kits(unit, row)
    _keep_cylinders(unit)
    return unit


def _keep_due_dates(unit: Unit, nth: int, today: date) -> None:
    for kind, days in DAYS_LEFT.items():
        left = OVERDUE.get((unit.number, kind), days + 11 * nth)
        DueDate.objects.update_or_create(unit=unit, kind=kind, defaults={"due_on": today + timedelta(left)})


def _keep_kits(unit: Unit, row: DemoUnit) -> None:
    due = {each.kind: each.due_on for each in unit.due_dates.all()}
    for kit in Kit.objects.filter(station__layout=unit.layout):
        kind = Kind.FIRST_AID if kit.sealed else Kind.EXTINGUISHER
        seal = row.first_aid_seal if kit.sealed else ""
        held, _ = UnitKit.objects.get_or_create(unit=unit, kit=kit, defaults={"seal_number": seal})
        held.expires_on = due[kind]
        held.save(update_fields=["expires_on"])


def _keep_cylinders(unit: Unit) -> None:
    cylinders = Instrument.objects.filter(station__layout=unit.layout, measures=Instrument.Measures.GAS)
    for place, cylinder in enumerate(cylinders, start=1):
        serial = f"{unit.branch.prefix}-{unit.number}-{place}"
        UnitInstrument.objects.get_or_create(unit=unit, instrument=cylinder, defaults={"serial": serial})
