from typing import Any

import pytest

from fleet.imports.reading import read_csv
from fleet.imports.units import UnitResource
from handover.rental.imports import BookingResource
from tests.factories import ExtraOfferFactory, UnitFactory

UNIT_ROW = {
    "number": "118", "plate": "LRK 118", "vin": "", "vin_has_check_digit": "", "branch": "inverlark",
    "layout": "skerry", "odometer": "41206 mi", "in_service_on": "2025-04-03",
}  # fmt: skip
BOOKING_ROW = {
    "reference": "B-1", "branch": "inverlark", "customer": "Noor Halabi", "email": "noor@example.org", "phone": "",
    "language": "en", "unit": "407", "planned_out_at": "2027-08-18 15:15", "planned_back_at": "2027-08-24 10:00",
    "charged_days": "6", "liability_option": "Standard", "excess": "1500", "deposit_held": "500.00", "extras": "",
}  # fmt: skip


def csv_of(*rows: dict[str, Any]) -> bytes:
    def quoted(cell: Any) -> str:
        return '"' + str(cell).replace('"', '""') + '"'

    lines = [",".join(rows[0]), *(",".join(quoted(cell) for cell in row.values()) for row in rows)]
    return "\n".join(lines).encode()


def unit_row(**cells: str) -> dict[str, str]:
    return UNIT_ROW | cells


def booking_row(**cells: str) -> dict[str, str]:
    return BOOKING_ROW | cells


@pytest.fixture
def take_units(maeve, unit_407):
    """Imports rows as Maeve; unit 407 with 66 290 km is there."""
    return lambda *rows: UnitResource().take_file(read_csv(csv_of(*rows)), by=maeve)


@pytest.fixture
def take_bookings(maeve, unit_407):
    """Imports rows as Maeve; units 407 and 512, the Extras fuel-20 and gas of Inverlark are there."""
    UnitFactory(number="512")
    for code, name in (("fuel-20", "20 L of fuel prepaid"), ("gas", "Gas prepaid")):
        ExtraOfferFactory(code=code, name=name, branch=unit_407.branch)
    return lambda *rows: BookingResource().take_file(read_csv(csv_of(*rows)), by=maeve)


def told(result: Any) -> list[tuple[int, str, str]]:
    return [(place.line, place.column, place.sentence) for place in result.bad_places]
