"""Fines and tolls that arrived for the rental: passed on or driver named, with a handling fee."""

from calendar import monthrange
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.desk import Notice
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, divided, minus, plus, start, times


def notices(case: Case, sheet: Sheet) -> Sheet:
    """Charges FINE or TOLL as passed on, FINE_ADMIN and TOLL_ADMIN for handling.

    Nothing for what the operator caused; no fee where the operator sat past the deadline, and the penalty that
    grew from it is the operator's. Tolls of one day or one rental share a fee where the rate card says so.
    """
    charges: list[Charge] = []
    findings: list[Finding] = []
    counted: list[Notice] = []
    for notice in case.notices:
        spared = _spared(case, notice)
        if spared is not None:
            findings.append(Finding(notice.kind.upper(), notice.ref, *spared))
        else:
            counted.append(notice)
    for notice in counted:
        charges += [*_passed_on(case, notice), *_fine_fee(case, notice)]
        charges += _toll_fee(case, notice, counted)
    return sheet.add(charges=charges, findings=findings)


def _spared(case: Case, notice: Notice) -> tuple[Why, str] | None:
    if notice.operator_caused:
        return Why.OPERATOR_CAUSED, "Not charged: the branch caused it."
    if _other_rental(case, notice):
        return Why.NOT_APPLICABLE, "Not charged: it is not from the time of this rental."
    if _too_late(case, notice):
        return Why.TOO_LATE, "Not charged: it came after the time in which notices are charged."
    if notice.must_be_told and notice.customer_told_on is None:
        return Why.NOT_PROVEN, "Not charged yet: the customer has to get a copy first."
    return None


def _other_rental(case: Case, notice: Notice) -> bool:
    if notice.at is None:
        return False
    back = case.rental.returned_at
    return notice.at.utc < case.rental.pickup_at.utc or (back is not None and notice.at.utc > back.utc)


def _too_late(case: Case, notice: Notice) -> bool:
    months = case.rules.admin.notice_window_months
    if months is None or notice.received_on is None:
        return False
    back = case.rental.returned_at or case.rental.due_back
    return notice.received_on > _months_after(back.local.date(), months)


def _months_after(day: date, months: int) -> date:
    """The same day of a later month, or its last day where that month is shorter."""
    years, month = divmod(day.month - 1 + months, 12)
    last = monthrange(day.year + years, month + 1)[1]
    return date(day.year + years, month + 1, min(day.day, last))


def _passed_on(case: Case, notice: Notice) -> Iterator[Charge]:
    amount = case.money(notice.amount - notice.penalty)
    if notice.handling == "driver_nominated" or not amount:
        return
    unit = case.currency.code
    steps: tuple[Step, ...] = (start(notice.amount, unit, notice.ref, f"{notice.path}.amount"),)
    if notice.penalty:
        steps = (*steps, minus(notice.penalty, unit, "penalty, the branch's own", f"{notice.path}.penalty"))
    yield Charge(notice.kind.upper(), notice.ref, amount, steps, "passed on")


def _fee_due(notice: Notice) -> bool:
    return not notice.operator_delay and not notice.penalty


def _fine_fee(case: Case, notice: Notice) -> Iterator[Charge]:
    fee = case.rules.admin.per_fine
    if notice.kind == "fine" and fee and _fee_due(notice):
        step = start(fee, case.currency.code, "handling a notice", "rules.admin.per_fine")
        yield Charge("FINE_ADMIN", notice.ref, case.money(fee), (step,), "handling")


def _toll_fee(case: Case, notice: Notice, counted: list[Notice]) -> Iterator[Charge]:
    """One fee for each passage, day or rental, at the first notice of the bundle."""
    if notice.kind != "toll" or not _fee_due(notice):
        return
    ref = _bundle(case, notice)
    bundle = [one for one in counted if one.kind == "toll" and _fee_due(one) and _bundle(case, one) == ref]
    if bundle[0] is notice:
        raw, steps = _toll_steps(case, bundle)
        if raw:
            yield Charge("TOLL_ADMIN", ref, raw, steps, "handling")


def _bundle(case: Case, notice: Notice) -> str:
    """What shares one fee; tolls without a time share one too, in the customer's favour."""
    per = case.rules.admin.toll_fee_per
    if per == "passage":
        return notice.ref
    if per == "day" and notice.at is not None:
        return notice.at.local.date().isoformat()
    return "rental"


def _toll_steps(case: Case, bundle: Iterable[Notice]) -> tuple[Decimal, tuple[Step, ...]]:
    admin, unit = case.rules.admin, case.currency.code
    tolls = tuple(plus(one.amount, unit, one.ref, f"{one.path}.amount") for one in bundle)
    share = sum((step.quantity for step in tolls), ZERO) * admin.toll_pct / 100
    floor = admin.toll_min or ZERO
    steps = (*tolls, times(admin.toll_pct, "%", "handling a toll", "rules.admin.toll_pct"))
    steps = (*steps, divided(Decimal(100), "", "per cent"))
    if share < floor:
        steps = (*steps, Step(Sign.AT_LEAST, floor, unit, "minimum fee", "rules.admin.toll_min"))
    return case.money(max(share, floor)), steps
