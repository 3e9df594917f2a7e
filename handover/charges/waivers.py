"""Waivers: what a person with the right to it takes off a line, as a line of its own."""

from dataclasses import dataclass, field
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.desk import Waiver
from handover.charges.sheet import ZERO, Charge, Lapsed, Sheet
from handover.charges.workings import Sign, Step, divided, minus, times


@dataclass(slots=True)
class _Waived:
    """Waiver lines so far, and how much of each charge is already waived."""

    lines: list[Charge] = field(default_factory=list)
    lapsed: list[Lapsed] = field(default_factory=list)
    taken: dict[int, Decimal] = field(default_factory=dict)


def waivers(case: Case, sheet: Sheet) -> Sheet:
    """Adds WAIVER lines, each with the tax class of the line it reduces, never below zero together.

    A percentage is of what is due on the line. A waiver whose line is gone, or that its approver may not give
    alone, lapses and says so. Without a ref it is for every line of its code, an amount in their order.
    """
    waived = _Waived()
    for waiver in case.waivers:
        _apply(case, sheet, waiver, waived)
    return sheet.add(charges=waived.lines, lapsed=waived.lapsed)


def _apply(case: Case, sheet: Sheet, waiver: Waiver, waived: _Waived) -> None:
    places = [place for place, charge in enumerate(sheet.charges) if _meant(waiver, charge)]
    if not places:
        _lapse(waived, waiver, "This line is not on the statement any more, or nothing is due on it.")
        return
    parts = _parts(case, sheet, waiver, waived, places)
    total = sum((amount for _, amount in parts), ZERO)
    if not _may(case, waiver, total):
        _lapse(waived, waiver, f"{total} is above what {waiver.approver} may waive; a second approver can.")
        return
    for place, amount in parts:
        if amount:
            waived.taken[place] = waived.taken.get(place, ZERO) + amount
            waived.lines.append(_line(case, waiver, sheet.charges[place], amount))


def _meant(waiver: Waiver, charge: Charge) -> bool:
    return charge.code == waiver.code and waiver.ref in (None, charge.ref) and charge.due > 0


def _lapse(waived: _Waived, waiver: Waiver, sentence: str) -> None:
    waived.lapsed.append(Lapsed(waiver.code, waiver.ref or "", sentence))


def _parts(case: Case, sheet: Sheet, waiver: Waiver, waived: _Waived, places: list[int]) -> list[tuple[int, Decimal]]:
    left = waiver.amount or ZERO
    parts = []
    for place in places:
        due = sheet.charges[place].due
        wanted = case.money(due * waiver.percent / 100) if waiver.percent is not None else case.money(left)
        amount = min(wanted, due - waived.taken.get(place, ZERO))
        left -= amount
        parts.append((place, amount))
    return parts


def _may(case: Case, waiver: Waiver, amount: Decimal) -> bool:
    """By the limit of the approver's role, or of a second approver's."""
    if _within(case, waiver.role, waiver.approver, amount):
        return True
    second = waiver.second_approver
    return second is not None and _within(case, waiver.second_role, second, amount)


def _within(case: Case, role: str | None, approver: str, amount: Decimal) -> bool:
    """A stated role without a limit on the list may waive nothing; an approver in free words is not limited."""
    limits = case.rules.waivers.limits
    name = role or approver
    if name not in limits:
        return role is None
    limit = limits[name]
    return limit is None or amount <= limit


def _line(case: Case, waiver: Waiver, charge: Charge, amount: Decimal) -> Charge:
    return Charge(
        "WAIVER",
        charge.ref,
        -amount,
        _steps(case, waiver, charge, amount),
        f"{waiver.reason}; {waiver.approver}",
        like=charge.like or charge.code,
        tax_class=charge.tax_class,
    )


def _steps(case: Case, waiver: Waiver, charge: Charge, amount: Decimal) -> tuple[Step, ...]:
    unit = case.currency.code
    if waiver.percent is None:
        return (minus(amount, unit, waiver.reason, f"{waiver.path}.amount"),)
    steps = (
        minus(charge.due, unit, f"due on {charge.code} {charge.ref}"),
        times(waiver.percent, "%", waiver.reason, f"{waiver.path}.percent"),
        divided(Decimal(100), "", "per cent"),
    )
    if amount == case.money(charge.due * waiver.percent / 100):
        return steps
    return (*steps, Step(Sign.AT_LEAST, -amount, unit, "no more than is left of it"))
