"""What coming back late at a time would come to, by the rental's own frozen rules. Pure: the product's one pricing."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from handover.charges import DocumentError, parse, price
from handover.charges.document.case import Case
from handover.charges.rules.opening import outside_hours

OF_LATENESS = frozenset({"LATE", "AFTER_HOURS", "NEXT_BOOKING"})
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class ComesTo:
    """Amounts in the rental's currency. `is_drop`: the branch is closed then, so it was priced as a key drop."""

    raw: Decimal
    covered: Decimal
    due: Decimal
    is_drop: bool


def comes_to(document: Mapping[str, Any], back_at: str) -> ComesTo | None:
    """The lines of lateness alone, were the unit back at a time that carries its offset; None if it has no price.

    In the hours of the branch somebody is there; outside them it can only be dropped.
    """
    back = document["rental"] | {"returned_at": back_at, "return_method": "attended"}
    try:
        case = parse({**document, "rental": back})
    except DocumentError:
        return None
    is_drop = _is_closed_then(case)
    if is_drop:
        case = replace(case, rental=replace(case.rental, return_method="key_drop"))
    lines = [line for line in price(case).lines if line.code in OF_LATENESS]
    raw, covered, due = (
        sum((getattr(line, part) for line in lines), ZERO) for part in ("raw", "covered", "amount")
    )  # fmt: skip
    return ComesTo(raw, covered, due, is_drop)


def _is_closed_then(case: Case) -> bool:
    """A branch that gave no hours at all is not taken for a closed one."""
    rate, back = case.rules.late, case.rental.returned_at
    if rate is None or back is None or not any((rate.opening_hours or {}).values()):
        return False
    return outside_hours(rate, back)
