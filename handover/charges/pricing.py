"""The rules in their order of application, and a case priced by them."""

from collections.abc import Callable
from typing import Final, TypeAlias

from handover.charges.cover import cover
from handover.charges.document.case import Case
from handover.charges.priced import Priced
from handover.charges.rules.cleaning import cleaning
from handover.charges.rules.credits import credits_
from handover.charges.rules.cut_off import cut_off
from handover.charges.rules.damage import damage
from handover.charges.rules.deferred import deferred
from handover.charges.rules.distance import distance
from handover.charges.rules.exhaust_fluid import exhaust_fluid
from handover.charges.rules.extension import extension
from handover.charges.rules.fuel import fuel
from handover.charges.rules.fuel_doubts import fuel_doubts
from handover.charges.rules.gas import gas
from handover.charges.rules.late_return import late_return
from handover.charges.rules.missing_items import missing_items
from handover.charges.rules.notices import notices
from handover.charges.rules.safety_kits import safety_kits
from handover.charges.rules.surplus import set_off_surplus
from handover.charges.rules.tanks import tanks
from handover.charges.settlement import settle
from handover.charges.sheet import Sheet
from handover.charges.tax import lines
from handover.charges.waivers import waivers

RULES_VERSION: Final = "1"

Rule: TypeAlias = Callable[[Case, Sheet], Sheet]

# Full prices first, then what extras pay, then damage under its excess and notices; what waits is set aside, credits
# and waivers reduce what is left, and a surplus that is only set off comes last of all.
RULES: Final[tuple[Rule, ...]] = (
    extension,
    fuel,
    fuel_doubts,
    exhaust_fluid,
    gas,
    cleaning,
    tanks,
    safety_kits,
    missing_items,
    late_return,
    distance,
    cut_off,
    cover,
    damage,
    notices,
    deferred,
    credits_,
    waivers,
    set_off_surplus,
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
