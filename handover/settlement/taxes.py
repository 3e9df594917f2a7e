"""The tax of each line, so that the lines sum to the statement's tax also where it is rounded by class. Pure."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from handover.charges.document.case import Case
from handover.charges.tax import tax_of

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class TaxedLine:
    code: str
    ref: str
    tax_class: str
    net: Decimal
    tax: Decimal
    gross: Decimal


def taxed(case: Case, lines: Sequence[Mapping[str, Any]]) -> list[TaxedLine]:
    """Of the lines of a result. Rounded by class, the difference to the class's tax goes to its largest line."""
    amounts = [Decimal(line["amount"]) for line in lines]
    classes = [str(line["tax_code"]) for line in lines]
    if case.tax.rounding == "per_line":
        taxes = [Decimal(line["tax"]) for line in lines]
    else:
        taxes = _by_class(case, amounts, classes)
    on_top = case.tax.mode == "exclusive"
    return [
        TaxedLine(
            code=str(line["code"]),
            ref=str(line["ref"]),
            tax_class=tax_class,
            net=amount if on_top else amount - tax,
            tax=tax,
            gross=amount + tax if on_top else amount,
        )
        for line, amount, tax_class, tax in zip(lines, amounts, classes, taxes, strict=True)
    ]


def _by_class(case: Case, amounts: Sequence[Decimal], classes: Sequence[str]) -> list[Decimal]:
    taxes = [tax_of(case, amount, name) for amount, name in zip(amounts, classes, strict=True)]
    of_class: dict[str, list[int]] = defaultdict(list)
    for at, name in enumerate(classes):
        of_class[name].append(at)
    for name, places in of_class.items():
        whole = tax_of(case, sum((amounts[at] for at in places), ZERO), name)
        largest = max(places, key=lambda at: abs(amounts[at]))
        taxes[largest] += whole - sum((taxes[at] for at in places), ZERO)
    return taxes
