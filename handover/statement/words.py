"""Lines in the words of the trade: one title for each code, on screen, in the record and in exports alike."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from shared.money import symbol_of
from shared.phrasebook import inside, said

TITLES = {
    "ADMIN": gettext_noop("Handling of damage"),
    "AFTER_HOURS": gettext_noop("After-hours return"),
    "CLEANING": gettext_noop("Cleaning, {ref}"),
    "GOODWILL": gettext_noop("Goodwill"),
    "SERVICE_FAILURE": gettext_noop("Service failure"),
    "OVERPAID": gettext_noop("Paid too much"),
    "CYLINDER": gettext_noop("Gas cylinder missing, {low}"),
    "DAMAGE": "{ref}",
    "DISTANCE": gettext_noop("Extra distance"),
    "EQUIPMENT": "{ref}",
    "EQUIPMENT_CREDIT": gettext_noop("Turned up again, {low}"),
    "EXTENSION": gettext_noop("Extension, {ref}"),
    "FINE_ADMIN": gettext_noop("Handling of {ref}"),
    "FUEL": "{fuel}",
    "FUEL_CREDIT": gettext_noop("Fuel brought back"),
    "FUEL_SERVICE": gettext_noop("Refuelling"),
    "GAS": gettext_noop("Gas, {low} cylinder"),
    "GAS_RECEIPT": gettext_noop("Gas bought on the trip, {ref}"),
    "GAS_SERVICE": gettext_noop("Gas refilling"),
    "LABOUR": gettext_noop("Fitting, {low}"),
    "LATE": gettext_noop("Late return"),
    "LOCK_CHANGE": gettext_noop("Locks changed, {low}"),
    "LOSS_OF_USE": gettext_noop("Loss of use"),
    "PREPAID_REFUND": gettext_noop("Refund of {ref}"),
    "RUBBISH": gettext_noop("Rubbish left behind"),
    "SAFETY_KIT": "{ref}",
    "TOILET": gettext_noop("Toilet cassette"),
    "TOLL": gettext_noop("Toll, {ref}"),
    "TOLL_ADMIN": gettext_noop("Handling of {ref}"),
    "WAIVER": gettext_noop("Waived, {ref}"),
    "WASTE_TANK": gettext_noop("Waste water"),
}


def line_title(code: str, ref: str, *, names: Mapping[str, str] | None = None, fuel: str = "Diesel") -> str:
    """The title of a line or of a thing checked. `names` gives the operator's own words for a ref, such as a kit."""
    called = said((names or {}).get(ref, ref.replace("_", " ")))
    title = _(TITLES[code]) if code in TITLES else code.replace("_", " ").lower() + " {ref}"
    text = title.format(ref=called, low=inside(called), fuel=_(fuel))
    return text[:1].upper() + text[1:]


def kit_names(sheet: Any) -> dict[str, str]:
    """The names of the sheet's kits by their codes."""
    return {ask.code: ask.name for _, ask in sheet.kits()}


def unit_text(unit: str, currency: str) -> str:
    """GBP/L as £/L."""
    first, slash, per = unit.partition("/")
    if first == currency:
        return f"{symbol_of(currency)}{slash}{said(per)}"
    return said(unit)


def summary(steps: Iterable[Mapping[str, str]], currency: str) -> str:
    """The Workings of a line in one line: 82.0 L − 47.5 L = 34.5 L − 3.0 L = 31.5 L × 1.62 £/L = 51.03 £"""
    shown = (step for step in steps if step["kind"] in {"figure", "subtotal"})
    return " ".join(" ".join(_parts(step, currency)) for step in shown)


def _parts(step: Mapping[str, str], currency: str) -> list[str]:
    return [part for part in (step["sign"], step["quantity"], unit_text(step["unit"], currency)) if part]
