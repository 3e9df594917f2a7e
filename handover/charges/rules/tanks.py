"""Waste tanks not emptied, the toilet, and rubbish left behind: each once, independent of the others."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import WasteRate
from handover.charges.document.findings import Waste
from handover.charges.document.kinds import NOT_APPLICABLE, Reading
from handover.charges.sheet import Charge, Finding, Sheet, Why
from handover.charges.workings import spoken, start, times


def tanks(case: Case, sheet: Sheet) -> Sheet:
    """Charges WASTE_TANK, TOILET and RUBBISH. Fresh water not full is not charged.

    With the toilet charged, odour is charged from the tier heavy on: a standard one comes from the toilet.
    """
    rate, waste = case.rules.waste, case.waste
    if rate is None or waste is None:
        return sheet
    found = [_grey(case, rate, waste), _toilet(case, rate, waste)]
    charges = [one for one in found if isinstance(one, Charge)]
    findings = [one for one in found if isinstance(one, Finding)]
    if any(charge.code == "TOILET" for charge in charges):
        sheet = _without_standard_odour(sheet)
    return sheet.add(charges=[*charges, *_rubbish(case, rate, waste)], findings=[*findings, *_fresh(waste)])


def _without_standard_odour(sheet: Sheet) -> Sheet:
    kept = [charge for charge in sheet.charges if (charge.code, charge.ref) != ("CLEANING", "odour standard")]
    if len(kept) == len(sheet.charges):
        return sheet
    sentence = "Not charged: it comes with the toilet, whose fee is charged."
    finding = Finding("CLEANING", "odour standard", Why.ONE_FINDING_ONE_LINE, sentence)
    return sheet.with_charges(kept).add(findings=[finding])


def _grey(case: Case, rate: WasteRate, waste: Waste) -> Charge | Finding | None:
    spared = _spared("WASTE_TANK", "grey", waste.grey_out_pct, waste.grey_pct, rate.grey_threshold_pct)
    if spared is not None or not rate.grey_fee or waste.grey_pct is NOT_APPLICABLE:
        return spared
    step = start(rate.grey_fee, case.currency.code, "emptying the grey tank", "rules.waste.grey_fee")
    return Charge("WASTE_TANK", "grey", case.money(rate.grey_fee), (step,), f"{_pct(waste.grey_pct)} full")


def _toilet(case: Case, rate: WasteRate, waste: Waste) -> Charge | Finding | None:
    spared = _spared("TOILET", "toilet", waste.toilet_out_pct, waste.toilet_pct, rate.toilet_threshold_pct)
    read = isinstance(waste.toilet_out_pct, Decimal)
    if not waste.toilet_rinsed and read:
        spared = None
    elif waste.toilet_pct is NOT_APPLICABLE:
        return None
    if spared is not None or not rate.toilet_fee:
        return spared
    step = start(rate.toilet_fee, case.currency.code, "emptying and rinsing", "rules.waste.toilet_fee")
    measure = f"{_pct(waste.toilet_pct)} full" if waste.toilet_rinsed else "not rinsed"
    return Charge("TOILET", "toilet", case.money(rate.toilet_fee), (step,), measure)


def _pct(reading: Reading) -> str:
    return f"{spoken(reading)} %" if isinstance(reading, Decimal) else ""


def _spared(code: str, ref: str, out: Reading, back: Reading, threshold: Decimal) -> Finding | None:
    """Why a tank is not charged; None when it is fuller than the threshold and than it left."""
    if back is NOT_APPLICABLE:
        return None
    if not isinstance(back, Decimal):
        return Finding(code, ref, Why.NOT_READ, "Not chargeable: not read at return.")
    if not isinstance(out, Decimal):
        return Finding(code, ref, Why.NO_BASELINE, "Not chargeable: no pickup reading.")
    if back <= threshold:
        return Finding(code, ref, Why.WITHIN_TOLERANCE, f"{spoken(back)} % full, not above {spoken(threshold)} %.")
    if back <= out:
        return Finding(code, ref, Why.LEVEL, f"Came back {spoken(back)} % full and left {spoken(out)} % full.")
    return None


def _rubbish(case: Case, rate: WasteRate, waste: Waste) -> Iterator[Charge]:
    if waste.rubbish_bags and rate.rubbish_bag_fee:
        bags = Decimal(waste.rubbish_bags)
        steps = (
            start(bags, "bags", "left behind", "waste.rubbish_bags"),
            times(rate.rubbish_bag_fee, f"{case.currency.code}/bag", "a bag", "rules.waste.rubbish_bag_fee"),
        )
        yield Charge("RUBBISH", "rental", case.money(bags * rate.rubbish_bag_fee), steps, f"{bags} bags")


def _fresh(waste: Waste) -> Iterator[Finding]:
    if isinstance(waste.fresh_pct, Decimal):
        yield Finding("FRESH_WATER", "fresh", Why.INCLUDED, "Not charged: fresh water used is the customer's.")
