"""The days that were agreed on top during the trip."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.rental import Extension
from handover.charges.sheet import Charge, Sheet
from handover.charges.workings import start, times


def extension(case: Case, sheet: Sheet) -> Sheet:
    """Charges EXTENSION for each confirmed one; lateness and allowance then go by the new return."""
    return sheet.add(charges=_charges(case))


def _charges(case: Case) -> Iterator[Charge]:
    for agreed in case.rental.agreed_extensions:
        charge = _charge(case, agreed)
        if charge.raw:
            yield charge


def _charge(case: Case, agreed: Extension) -> Charge:
    ref = "1 day" if agreed.days == 1 else f"{agreed.days} days"
    steps = (
        start(Decimal(agreed.days), "days", f"to {agreed.new_return_at.text}", f"{agreed.path}.days"),
        times(agreed.day_rate, f"{case.currency.code}/day", "a day", f"{agreed.path}.day_rate"),
    )
    return Charge("EXTENSION", ref, case.money(agreed.days * agreed.day_rate), steps, ref)
