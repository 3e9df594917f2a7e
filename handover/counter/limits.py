"""Up to which amount a role may waive."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from shared.access.roles import Role

# In the branch's currency, for a rate card that names none; None is without limit.
USUAL: dict[str, str | None] = {Role.HOST: "50", Role.RETURN_BAY: "50", Role.MANAGER: None}
# Hours after the return, for a rate card that announces no other.
CUT_OFF_HOURS = Decimal(48)


def waiver_limits(rules: Mapping[str, Any]) -> dict[str, str | None]:
    """By role, from the frozen rate card."""
    limits = rules.get("waivers", {}).get("limits")
    return dict(USUAL if limits is None else limits)


def may_waive(limits: Mapping[str, str | None], role: str, amount: Decimal) -> bool:
    """A role that is not on the list may waive nothing."""
    if role not in limits:
        return False
    limit = limits[role]
    return limit is None or amount <= Decimal(limit)


def cut_off_hours(rules: Mapping[str, Any]) -> Decimal:
    announced = rules.get("late_findings", {}).get("cut_off_hours")
    return CUT_OFF_HOURS if announced is None else Decimal(str(announced))
