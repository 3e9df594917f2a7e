"""Tax and its rounding: by line or by class, contained in the amounts or added to them."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.line import Line, steps_to_due
from handover.charges.sheet import ZERO, Charge


def lines(case: Case, charges: Iterable[Charge]) -> tuple[Line, ...]:
    """Each charge as a final line with its tax class; a credit keeps the class of what it reduces."""
    return tuple(_line(case, charge) for charge in charges)


def _line(case: Case, charge: Charge) -> Line:
    tax_class = charge.tax_class or case.tax.class_of(charge.like or charge.code)
    due = charge.due
    tax = tax_of(case, due, tax_class) if case.tax.rounding == "per_line" else None
    steps = steps_to_due(charge, case.currency.code)
    covered = charge.raw - due
    return Line(charge.code, charge.ref, charge.raw, covered, due, tax_class, tax, steps, charge.cover, charge.measure)


def tax_of(case: Case, amount: Decimal, tax_class: str) -> Decimal:
    """Inclusive: the amount less its rounded net. Exclusive: the rounded part of the amount. Never a rounded rate."""
    rate = case.tax.rate_of(tax_class)
    if not rate:
        return case.money(ZERO)
    if case.tax.mode == "inclusive":
        return amount - case.money(amount / (1 + rate))
    return case.money(amount * rate)


def tax_total(case: Case, priced: Iterable[Line]) -> Decimal:
    """The sum of the lines' taxes, or of the taxes on each class's sum when rounded by group."""
    if case.tax.rounding == "per_line":
        return sum((line.tax for line in priced if line.tax is not None), case.money(ZERO))
    groups: dict[str, Decimal] = defaultdict(lambda: ZERO)
    for line in priced:
        groups[line.tax_code] += line.amount
    return sum((tax_of(case, amount, tax_class) for tax_class, amount in groups.items()), case.money(ZERO))
