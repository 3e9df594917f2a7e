"""What reaches the desk besides the walk-rounds: notices, receipts, credits, waivers, corrections, earlier versions."""
# ruff: noqa: RUF009, FBT003 (key() makes a dataclass field, with its default)

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from handover.charges.document.intake import Impossible, Record, key
from handover.charges.document.kinds import (
    Moment,
    above_zero,
    anything,
    day,
    decimal,
    flag,
    moment,
    one_of,
    text,
    whole,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice(Record):
    """A fine or a toll. `penalty` is the part of the amount that grew because the operator sat on it."""

    path: str
    kind: str = key(one_of("fine", "toll"))
    ref: str = key(text)
    amount: Decimal = key(decimal())
    handling: str = key(one_of("driver_nominated", "paid_by_operator"), "paid_by_operator")
    at: Moment | None = key(moment(fold=0), None)
    received_on: date | None = key(day, None)
    customer_told_on: date | None = key(day, None)
    must_be_told: bool = key(flag, False)
    operator_caused: bool = key(flag, False)
    operator_delay: bool = key(flag, False)
    penalty: Decimal = key(decimal(), Decimal(0))

    def impossible(self) -> Impossible:
        if self.penalty > self.amount:
            yield "penalty", f"A penalty of {self.penalty} cannot be part of {self.amount}; {self.amount} or less can."


@dataclass(frozen=True, slots=True, kw_only=True)
class GasReceipt(Record):
    """Gas that the customer bought; in another currency with the card's amount, or the day's rate."""

    path: str
    ref: str = key(text)
    amount: Decimal = key(decimal())
    reimbursable: bool | None = key(flag, None)
    operator_fault: bool | None = key(flag, None)
    reason: str | None = key(text, None)
    currency: str | None = key(text, None)
    card_amount: Decimal | None = key(decimal(), None)
    rate: Decimal | None = key(above_zero(), None)

    @property
    def by_operator(self) -> bool:
        return self.reimbursable is True if self.operator_fault is None else self.operator_fault


@dataclass(frozen=True, slots=True, kw_only=True)
class Credit(Record):
    """Money given back for a reason, by a named approver; `reduces` names the line code whose tax class it keeps."""

    path: str
    code: str = key(one_of("SERVICE_FAILURE", "GOODWILL", "OVERPAID"))
    ref: str = key(text)
    amount: Decimal = key(above_zero("A credit is written as a positive amount."))
    reason: str = key(text)
    approver: str = key(text)
    reduces: str | None = key(text, None)
    tax_class: str | None = key(text, None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Deferred(Record):
    """A line that awaits a quote, a wash, the workshop or the police, with the announced most it can be."""

    path: str
    code: str = key(text)
    ref: str | None = key(text, None)
    max: Decimal = key(decimal())
    until: date = key(day)
    awaiting: str | None = key(text, None)


@dataclass(frozen=True, slots=True, kw_only=True)
class LateFinding(Record):
    """When something was found that was not seen at the return: by the code and ref of its line."""

    path: str
    code: str = key(text)
    ref: str = key(text)
    found_at: Moment = key(moment(fold=0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver(Record):
    """A reduction of a line by percent or amount, with its reason and who approves it.

    `role` is the approver's, else the approver's words are looked up among the limits.
    """

    path: str
    code: str = key(text)
    ref: str | None = key(text, None)
    percent: Decimal | None = key(decimal(0, 100), None)
    amount: Decimal | None = key(decimal(), None)
    reason: str = key(text)
    approver: str = key(text)
    role: str | None = key(text, None)
    second_approver: str | None = key(text, None)
    second_role: str | None = key(text, None)

    def impossible(self) -> Impossible:
        if (self.percent is None) == (self.amount is None):
            yield "percent", "Either percent or amount has to be here, one and not both."
        if self.second_approver == self.approver:
            yield "second_approver", f"{self.approver} cannot be both approvers; the second is another person."


@dataclass(frozen=True, slots=True, kw_only=True)
class ManualLine(Record):
    """A charge no rule makes: only with evidence, two people, and the customer told beforehand."""

    path: str
    ref: str = key(text)
    amount: Decimal = key(above_zero())
    evidence: str = key(text)
    by: str = key(text)
    second: str = key(text)
    customer_told_on: date = key(day)
    tax_class: str | None = key(text, None)

    def impossible(self) -> Impossible:
        if self.by == self.second:
            yield "second", f"{self.by} cannot be both people; a charge by hand needs two."


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction(Record):
    """A reading put right with evidence; the document already holds `now`."""

    path: str
    field: str = key(text)
    was: object = key(anything)
    now: object = key(anything)
    evidence: str = key(text)
    by: str = key(text)

    def impossible(self) -> Impossible:
        if self.field.split(".")[0] in ("rules", "tax", "currency"):
            yield "field", "Only a reading or a finding is corrected, never a price; a waiver reduces a line."


@dataclass(frozen=True, slots=True, kw_only=True)
class PreviousSettlement(Record):
    """The version before. `excess_paid` counts towards an excess per rental for events not in this document."""

    path: str
    version: int = key(whole())
    total: Decimal = key(decimal(None))
    excess_paid: Decimal = key(decimal(), Decimal(0))
