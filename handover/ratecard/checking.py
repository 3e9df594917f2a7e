"""Whether a rate card can be priced by: read as pricing reads it, each problem at the cell it belongs to."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.charges import DocumentError, Problem, parse
from handover.charges.document.intake import Intake, RefusedError
from handover.charges.document.kinds import decimal, map_of
from handover.ratecard.flat import Built, rules_of
from handover.ratecard.schema import leaf_at
from handover.ratecard.words import label_of
from handover.rental.freezing import with_opening_hours
from shared.money import exponent

PRICES = "equipment.prices"


@dataclass(frozen=True, slots=True)
class Checked:
    """Rules and what of them cannot be: `problems` have the path of the cell, or of what has to be there."""

    rules: Mapping[str, Any]
    problems: tuple[Problem, ...]


def check_cells(cells: Mapping[str, str], branch: Branch) -> Checked:
    built = rules_of(cells)
    found = [*built.problems, *_too_fine(cells, branch), *(_at_cell(one, built) for one in _refused(built, branch))]
    return Checked(built.rules, tuple({one.path: one for one in reversed(found)}.values())[::-1])


def _too_fine(cells: Mapping[str, str], branch: Branch) -> Iterator[Problem]:
    """Amounts have the currency's digits; a price for a litre or a kilogram may have more."""
    digits = exponent(branch.currency)
    for path, value in cells.items():
        if label_of(path).unit == "¤" and len(value.strip().partition(".")[2].rstrip("0")) > digits:
            yield Problem(
                path,
                _("%(currency)s has %(digits)s decimals; %(value)s has more.")
                % {"currency": branch.currency, "digits": digits, "value": value.strip()},
            )


def _refused(built: Built, branch: Branch) -> Iterator[Problem]:
    rules = built.rules
    if "late" in rules:
        rules = with_opening_hours(rules, branch)
    yield from _bad_prices(rules.get("equipment", {}).get("prices", {}))
    try:
        parse(smallest_case(branch, rules))
    except DocumentError as error:
        yield from error.problems


def _bad_prices(prices: Mapping[str, Any]) -> Iterator[Problem]:
    """Pricing never sees these: each goes with the thing that is missing."""
    intake = Intake(ZoneInfo("UTC"), [])
    try:
        map_of(decimal())(prices, f"rules.{PRICES}", intake)
    except RefusedError:
        yield from intake.problems


def smallest_case(branch: Branch, rules: Mapping[str, Any]) -> dict[str, Any]:
    """The smallest rental that such rules can stand in. Replacement prices go with what is missing, so not here."""
    equipment = rules.get("equipment")
    if isinstance(equipment, dict):
        without = {key: value for key, value in equipment.items() if key != "prices"}
        rules = {**rules, "equipment": without}
    return {
        "currency": {"code": branch.currency},
        "time_zone": branch.zone,
        "tax": {"mode": branch.tax_mode, "rate": str(branch.tax_rate)},
        "rental": {"pickup_at": "2026-05-03T14:00", "scheduled_return_at": "2026-05-10T10:00", "charge_days": 7},
        "rules": dict(rules),
    }


def _at_cell(problem: Problem, built: Built) -> Problem:
    """From pricing's path to the cell; what is missing altogether has the path it should have."""
    place = problem.path.removeprefix("rules")
    sentence = problem.sentence
    if sentence.startswith("This key is missing"):
        sentence = "This has to be stated."
    if place in built.places:
        return Problem(built.places[place], sentence)
    if leaf_at(place[1:]) or place[1:].endswith(".tiers"):
        return Problem(place[1:], sentence)
    above = max((one for one in built.places if one and place.startswith(one)), key=len, default="")
    return Problem(built.places.get(above, ""), sentence)
