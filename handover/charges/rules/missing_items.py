"""Equipment that did not come back, or came back broken: its price by age, or its repair, whichever is lower."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.findings import MissingItem
from handover.charges.document.kinds import NOT_READ
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, divided, equals, start, times

NEVER_AGE = ("key", "papers", "cylinder")


def missing_items(case: Case, sheet: Sheet) -> Sheet:
    """Charges EQUIPMENT by item, LABOUR and LOCK_CHANGE beside it. Labour is never reduced by age.

    Keys, papers and cylinders are not reduced by age. Locks are changed only if a key was lost with the address.
    """
    charges: list[Charge] = []
    findings: list[Finding] = []
    for item in case.equipment:
        if item.qty_out is NOT_READ:
            sentence = "Not chargeable: not counted at pickup."
            findings.append(Finding("EQUIPMENT", item.item, Why.NO_BASELINE, sentence))
        elif not item.qty:
            findings.append(Finding("EQUIPMENT", item.item, Why.LEVEL, "All there."))
        else:
            charges += (charge for charge in _charges(case, item) if charge.raw)
    return sheet.add(charges=charges, findings=findings)


def _charges(case: Case, item: MissingItem) -> Iterator[Charge]:
    yield _goods(case, item)
    unit = case.currency.code
    if item.labour:
        step = start(item.labour, unit, "fitting it", f"{item.path}.labour")
        yield Charge("LABOUR", item.item, case.money(item.labour), (step,), "fitting")
    if item.lock_change and item.lost_with_address:
        step = start(item.lock_change, unit, "key lost with the address", f"{item.path}.lock_change")
        yield Charge("LOCK_CHANGE", item.item, case.money(item.lock_change), (step,), "locks changed")


def _goods(case: Case, item: MissingItem) -> Charge:
    price, steps = _new_price(case, item)
    aged, age_steps = _aged(case, item, price)
    steps = (*steps, *age_steps)
    raw = case.money(aged)
    if item.repair is not None and item.repair < aged:
        raw = case.money(item.repair)
        at_most = Step(Sign.AT_MOST, item.repair, case.currency.code, "repaired for less", f"{item.path}.repair")
        steps = (*steps, at_most)
    return Charge("EQUIPMENT", item.item, raw, steps, f"{item.qty} short", item.path)


def _new_price(case: Case, item: MissingItem) -> tuple[Decimal, tuple[Step, ...]]:
    """A part of a set as a part where parts can be bought, never above the set; else the whole set."""
    unit = case.currency.code
    qty = Decimal(item.qty)
    whole_set = item.set_price
    each = item.part_price if whole_set is not None else item.price
    if each is None:
        price = whole_set or ZERO
        return price, (start(price, unit, "the set: its parts cannot be bought", f"{item.path}.set_price"),)
    name = "part_price" if whole_set is not None else "price"
    steps = (
        start(qty, "pieces", "short", f"{item.path}.qty"),
        times(each, f"{unit}/piece", "new", f"{item.path}.{name}"),
    )
    if whole_set is None or qty * each <= whole_set:
        return qty * each, steps
    cap = Step(Sign.AT_MOST, whole_set, unit, "never more than the set", f"{item.path}.set_price")
    return whole_set, (*steps, equals(case.money(qty * each), unit, "in parts"), cap)


def _aged(case: Case, item: MissingItem, price: Decimal) -> tuple[Decimal, tuple[Step, ...]]:
    """k = 1 - age / life, but not below the floor; unknown age or life leaves the price as it is."""
    life, age = item.life_months, item.age_months
    if not item.betterment or item.kind in NEVER_AGE or life is None or not age:
        return price, ()
    floor = case.rules.equipment.floor_pct
    left = life - age
    if left * 100 < floor * life:
        return price * floor / 100, (
            times(floor, "%", "least share, past its age", "rules.equipment.floor_pct"),
            divided(Decimal(100), "", "per cent"),
        )
    return price * left / life, (
        times(left, "months", f"of life left at an age of {age}", f"{item.path}.age_months"),
        divided(life, "months", "useful life", f"{item.path}.life_months"),
    )
