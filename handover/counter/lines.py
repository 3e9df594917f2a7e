"""Lines of a statement by code and ref: what they keep when it is priced again."""

import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from handover.acting import CannotBe
from handover.rental.models import Rental
from handover.statement.models import Statement

ZERO = Decimal(0)


def latest_statement(rental: Rental) -> Statement:
    """Raises CannotBe before it is priced for the first time."""
    statement = rental.statements.last()
    if statement is None:
        raise CannotBe(_("%(rental)s is not priced yet: there is no line to speak of.") % {"rental": rental.number})
    return statement


def due_on(result: Mapping[str, Any], code: str, ref: str) -> Decimal:
    """What is due on the lines of this code and ref, before waivers. Raises CannotBe where there is none."""
    found = [Decimal(line["amount"]) for line in result["lines"] if (line["code"], line["ref"]) == (code, ref)]
    if not found:
        raise CannotBe(_("This line is not on the latest statement any more. Open the latest."))
    return sum(found, ZERO)


def result_of(statement: Statement) -> dict[str, Any]:
    result: dict[str, Any] = json.loads(statement.result)
    return result
