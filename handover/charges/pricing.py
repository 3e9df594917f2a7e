"""The rules in their order of application, and a case priced by them."""

from collections.abc import Callable
from typing import Final, TypeAlias

from handover.charges.cover import cover
from handover.charges.document.case import Case
from handover.charges.priced import Priced
from handover.charges.rules.extension import extension
from handover.charges.rules.fuel import fuel
from handover.charges.rules.gas import gas
from handover.charges.rules.late_return import late_return
from handover.charges.rules.safety_kits import safety_kits
from handover.charges.settlement import settle
from handover.charges.sheet import Sheet
from handover.charges.tax import lines

RULES_VERSION: Final = "1"

Rule: TypeAlias = Callable[[Case, Sheet], Sheet]

RULES: Final[tuple[Rule, ...]] = (
    extension,
    fuel,
    gas,
    safety_kits,
    late_return,
    cover,
)


def price(case: Case) -> Priced:
    """What is owed for a case. The same case gives the same bytes, whenever and wherever it is priced."""
    sheet = Sheet()
    for rule in RULES:
        sheet = rule(case, sheet)
    priced = lines(case, sheet.charges)
    return Priced(
        priced,
        settle(case, priced),
        sheet.derived,
        sheet.findings,
        sheet.lapsed,
        RULES_VERSION,
        case.currency.code,
        case.currency.exponent,
    )
