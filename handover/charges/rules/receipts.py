"""Gas that the customer bought on the trip and is paid back."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import GasRate
from handover.charges.document.desk import GasReceipt
from handover.charges.extra_standing import covers_gas, standing_extras
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, minus, times


def receipts(case: Case, sheet: Sheet) -> Sheet:
    """Credits GAS_RECEIPT, up to the rate card's limit for all of them together.

    With prepaid gas a receipt is paid back only for the operator's fault: the gas is not paid twice.
    """
    rate = case.rules.gas
    left = rate.receipts_limit if rate is not None else None
    charges: list[Charge] = []
    findings: list[Finding] = []
    for receipt in case.gas_receipts:
        if not _reimbursed(case, rate, receipt):
            findings.append(Finding("GAS_RECEIPT", receipt.ref, Why.NOT_REIMBURSED, _why_not(case, receipt)))
            continue
        for charge in _paid_back(case, receipt, left):
            charges.append(charge)
            left = None if left is None else left + charge.raw
    return sheet.add(charges=charges, findings=findings)


def _reimbursed(case: Case, rate: GasRate | None, receipt: GasReceipt) -> bool:
    rule = rate.receipts if rate is not None else "operator_fault"
    if rule == "none" or receipt.reimbursable is False:
        return False
    return receipt.by_operator or (rule == "all" and not _prepaid(case))


def _prepaid(case: Case) -> bool:
    return any(covers_gas(extra) for extra, _ in standing_extras(case))


def _why_not(case: Case, receipt: GasReceipt) -> str:
    if _prepaid(case) and receipt.reimbursable is not False:
        return "Not paid back: gas is prepaid, and the branch was not at fault."
    return "Not paid back: the rate card pays back gas only for the branch's fault, or not at all."


def _paid_back(case: Case, receipt: GasReceipt, left: Decimal | None) -> Iterator[Charge]:
    amount, steps = _in_currency(case, receipt)
    if left is not None and amount > left:
        amount = max(ZERO, left)
        cap = Step(Sign.AT_LEAST, -amount, case.currency.code, "limit for receipts", "rules.gas.receipts_limit")
        steps = (*steps, cap)
    if amount:
        measure = receipt.reason or "gas bought"
        yield Charge("GAS_RECEIPT", receipt.ref, -amount, steps, measure, like="GAS")


def _in_currency(case: Case, receipt: GasReceipt) -> tuple[Decimal, tuple[Step, ...]]:
    """By the card's statement if there is one, else at the reference rate of the receipt's day."""
    unit, foreign = case.currency.code, receipt.currency not in (None, case.currency.code)
    if foreign and receipt.card_amount is not None:
        step = minus(receipt.card_amount, unit, "as the card was charged", f"{receipt.path}.card_amount")
        return case.money(receipt.card_amount), (step,)
    bought = minus(receipt.amount, receipt.currency or unit, receipt.ref, f"{receipt.path}.amount")
    if foreign and receipt.rate is not None:
        rate = times(receipt.rate, f"{unit}/{receipt.currency}", "rate of the day", f"{receipt.path}.rate")
        return case.money(receipt.amount * receipt.rate), (bought, rate)
    return case.money(receipt.amount), (bought,)
