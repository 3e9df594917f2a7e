"""Lines in the words of the trade: one title for each code, on screen, in the record and in exports alike."""

from collections.abc import Iterable, Mapping
from typing import Any

from shared.money import symbol_of

TITLES = {
    "ADMIN": "Handling of damage",
    "AFTER_HOURS": "After-hours return",
    "CLEANING": "Cleaning, {ref}",
    "GOODWILL": "Goodwill",
    "SERVICE_FAILURE": "Service failure",
    "OVERPAID": "Paid too much",
    "CYLINDER": "Gas cylinder missing, {low}",
    "DAMAGE": "{ref}",
    "DISTANCE": "Extra distance",
    "EQUIPMENT": "{ref}",
    "EQUIPMENT_CREDIT": "Turned up again, {low}",
    "EXTENSION": "Extension, {ref}",
    "FINE_ADMIN": "Handling of {ref}",
    "FUEL": "{fuel}",
    "FUEL_CREDIT": "Fuel brought back",
    "FUEL_SERVICE": "Refuelling",
    "GAS": "Gas, {low} cylinder",
    "GAS_RECEIPT": "Gas bought on the trip, {ref}",
    "GAS_SERVICE": "Gas refilling",
    "LABOUR": "Fitting, {low}",
    "LATE": "Late return",
    "LOCK_CHANGE": "Locks changed, {low}",
    "LOSS_OF_USE": "Loss of use",
    "PREPAID_REFUND": "Refund of {ref}",
    "RUBBISH": "Rubbish left behind",
    "SAFETY_KIT": "{ref}",
    "TOILET": "Toilet cassette",
    "TOLL": "Toll, {ref}",
    "TOLL_ADMIN": "Handling of {ref}",
    "WAIVER": "Waived, {ref}",
    "WASTE_TANK": "Waste water",
}


def line_title(code: str, ref: str, *, names: Mapping[str, str] | None = None, fuel: str = "Diesel") -> str:
    """The title of a line or of a thing checked. `names` gives the operator's own words for a ref, such as a kit."""
    said = (names or {}).get(ref, ref.replace("_", " "))
    text = TITLES.get(code, code.replace("_", " ").lower() + " {ref}").format(ref=said, low=said.lower(), fuel=fuel)
    return text[:1].upper() + text[1:]


def kit_names(sheet: Any) -> dict[str, str]:
    """The names of the sheet's kits by their codes."""
    return {ask.code: ask.name for _, ask in sheet.kits()}


def unit_text(unit: str, currency: str) -> str:
    """GBP/L as £/L."""
    first, slash, per = unit.partition("/")
    return f"{symbol_of(currency)}{slash}{per}" if first == currency else unit


def summary(steps: Iterable[Mapping[str, str]], currency: str) -> str:
    """The Workings of a line in one line: 82.0 L − 47.5 L = 34.5 L − 3.0 L = 31.5 L × 1.62 £/L = 51.03 £"""
    shown = (step for step in steps if step["kind"] in {"figure", "subtotal"})
    return " ".join(" ".join(_parts(step, currency)) for step in shown)


def _parts(step: Mapping[str, str], currency: str) -> list[str]:
    return [part for part in (step["sign"], step["quantity"], unit_text(step["unit"], currency)) if part]
