"""Rules and covers are typed as JSON: before they are kept they are read as pricing will read them."""

from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.charges import DocumentError, parse
from handover.ratecard.checking import smallest_case
from handover.rental.freezing import with_opening_hours
from shared.phrasebook import said


def check_rules(rules: Any, branch: Branch) -> None:
    """Raises ValidationError with every problem, each at its place in the rules."""
    if not isinstance(rules, dict):
        raise ValidationError(_('The rules are an object in braces, such as {"fuel": {"price_per_litre": "1.62"}}.'))
    known_hours = with_opening_hours(rules, branch) if isinstance(rules.get("late"), dict) else rules
    _check(smallest_case(branch, known_hours), "rules.")


def check_covers(covers: Any, branch: Branch) -> None:
    """Raises ValidationError with every problem, each at its place in what the Extra covers."""
    if not isinstance(covers, dict) or not covers:
        raise ValidationError(_('What it covers is an object in braces, such as {"limits": {"fuel_litres": "20"}}.'))
    _check(smallest_case(branch, {}) | {"prepaid": [{"name": _("Extra")} | covers]}, "prepaid[0].")


def _check(case: dict[str, Any], start: str) -> None:
    try:
        parse(case)
    except DocumentError as found:
        told = [said(str(problem).removeprefix(start)) for problem in found.problems]
        raise ValidationError([ValidationError(sentence) for sentence in told]) from found
