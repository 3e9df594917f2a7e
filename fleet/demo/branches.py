"""The demo's two branches, in different zones, currencies, tax modes, units of measure and traffic."""

from datetime import date, time
from decimal import Decimal
from typing import Any

from fleet.models import Branch, ClosedDate, OpeningHours

OPERATOR = "Larkmoor Campers"
INVERLARK: dict[str, Any] = {
    "code": "inverlark",
    "name": "Inverlark",
    "operator": OPERATOR,
    "prefix": "LK",
    "zone": "Europe/London",
    "currency": "GBP",
    "locale": "en_GB",
    "tax_mode": "inclusive",
    "tax_name": "VAT",
    "tax_rate": Decimal("0.20"),
    "tax_rounding": "per_line",
    "unit_system": "uk",
    "country": "GB",
    "traffic_side": "left",
}
PORT_AVERIL: dict[str, Any] = {
    "code": "port-averil",
    "name": "Port Averil",
    "operator": OPERATOR,
    "prefix": "PA",
    "zone": "America/Halifax",
    "currency": "CAD",
    "locale": "en_CA",
    "tax_mode": "exclusive",
    "tax_name": "HST",
    "tax_rate": Decimal("0.15"),
    "tax_rounding": "per_line",
    "unit_system": "metric",
    "country": "CA",
    "traffic_side": "right",
}
SUNDAY = 6


def load_branches(*, today: date) -> dict[str, Branch]:
    """Both branches by code, with opening hours, and closed on the next two Christmas and New Year's days."""
    return {data["code"]: _branch(data, today) for data in (INVERLARK, PORT_AVERIL)}


def _branch(data: dict[str, Any], today: date) -> Branch:
    branch, _ = Branch.objects.update_or_create(code=data["code"], defaults=data)
    for weekday in range(7):
        opens, closes = (time(9), time(16)) if weekday == SUNDAY else (time(8), time(18))
        OpeningHours.objects.update_or_create(
            branch=branch, weekday=weekday, defaults={"opens": opens, "closes": closes}
        )
    for year in (today.year, today.year + 1):
        _close(branch, date(year, 12, 25), "Christmas")
        _close(branch, date(year + 1, 1, 1), "New Year")
    return branch


def _close(branch: Branch, day: date, reason: str) -> None:
    ClosedDate.objects.get_or_create(branch=branch, day=day, defaults={"reason": reason})
