"""What happens with the money: against the deposit held, or against the version before."""

from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.line import Line, UntrueError
from handover.charges.sheet import ZERO
from handover.charges.tax import tax_total
from handover.charges.workings import plain


@dataclass(frozen=True, slots=True)
class Totals:
    """The statement's sums. Deposit figures are None for a re-opened settlement, the previous ones for a first.

    `deposit_kept` is the part of the hold kept for deferred lines, None where there are none.
    """

    lines_sum: Decimal
    tax: Decimal
    total: Decimal
    balance_due: Decimal
    refund_due: Decimal
    deposit_held: Decimal | None = None
    deposit_captured: Decimal | None = None
    deposit_kept: Decimal | None = None
    deposit_released: Decimal | None = None
    previous_total: Decimal | None = None
    delta: Decimal | None = None

    def __post_init__(self) -> None:
        if self.deposit_held is not None:
            parts = (self.deposit_captured or ZERO) + (self.deposit_kept or ZERO) + (self.deposit_released or ZERO)
            if parts != self.deposit_held:
                raise UntrueError(f"the deposit of {self.deposit_held} came apart into {parts}")

    def as_document(self) -> dict[str, str]:
        pairs = {name: getattr(self, name) for name in ORDER}
        return {name: plain(amount) for name, amount in pairs.items() if amount is not None}


ORDER = (
    "lines_sum",
    "tax",
    "total",
    "deposit_held",
    "deposit_captured",
    "deposit_kept",
    "deposit_released",
    "previous_total",
    "delta",
    "balance_due",
    "refund_due",
)


def settle(case: Case, lines: tuple[Line, ...]) -> Totals:
    """Net first, then one capture. A re-opened settlement states the difference to the version before."""
    nothing = case.money(ZERO)
    lines_sum = sum((line.amount for line in lines), nothing)
    tax = tax_total(case, lines)
    total = lines_sum + tax if case.tax.mode == "exclusive" else lines_sum
    before = case.previous_settlement
    if before is None:
        return _against_deposit(case, lines_sum, tax, total)
    previous = case.money(before.total)
    delta = total - previous
    due, refund = max(delta, nothing), max(-delta, nothing)
    return Totals(lines_sum, tax, total, due, refund, previous_total=previous, delta=delta)


def _against_deposit(case: Case, lines_sum: Decimal, tax: Decimal, total: Decimal) -> Totals:
    """Captured is at most what is held; deferred lines keep their announced most out of what is left."""
    nothing = case.money(ZERO)
    held = case.money(case.rental.deposit_held)
    captured = min(max(total, nothing), held)
    kept = min(sum((case.money(one.max) for one in case.deferred), nothing), held - captured)
    return Totals(
        lines_sum,
        tax,
        total,
        max(total, nothing) - captured,
        max(-total, nothing),
        deposit_held=held,
        deposit_captured=captured,
        deposit_kept=kept if case.deferred else None,
        deposit_released=held - captured - kept,
    )
