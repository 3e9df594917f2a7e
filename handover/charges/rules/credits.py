"""What comes back to the customer: surplus fuel, receipts, extras that never applied, recoveries, goodwill."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.extras import Extra
from handover.charges.document.findings import Event, MissingItem
from handover.charges.extra_standing import Standing, standing
from handover.charges.rules.damage_events import grouped
from handover.charges.rules.gas_use import cylinders
from handover.charges.rules.receipts import receipts
from handover.charges.rules.surplus import refunded_surplus
from handover.charges.sheet import ZERO, Charge, Sheet
from handover.charges.workings import Sign, Step, divided, minus, start, times

A_DAY = timedelta(days=1)


def credits_(case: Case, sheet: Sheet) -> Sheet:
    """Adds every credit as a line below zero, with the tax class of what it reduces."""
    for source in SOURCES:
        sheet = sheet.add(charges=list(source(case, sheet)))
    return receipts(case, refunded_surplus(case, sheet))


def _given(case: Case, code: str, ref: str, amount: Decimal, label: str, source: str, like: str) -> Iterator[Charge]:
    rounded = case.money(amount)
    if rounded > 0:
        step = minus(rounded, case.currency.code, label, source)
        yield Charge(code, ref, -rounded, (step,), "given back", like=like)


def _foreign_cylinders(case: Case, sheet: Sheet) -> Iterator[Charge]:
    """For a cylinder of another type brought back, against the price of the one that was not."""
    rate = case.rules.gas
    for cylinder in cylinders(case) if rate is not None and rate.cylinder_price else ():
        if rate is not None and cylinder.foreign_cylinder:
            amount = min(rate.foreign_credit, rate.cylinder_price or ZERO)
            source, label = "rules.gas.foreign_credit", "for the cylinder brought"
            yield from _given(case, "CYLINDER_CREDIT", cylinder.id, amount, label, source, "CYLINDER")


def _extras(case: Case, sheet: Sheet) -> Iterator[Charge]:
    """The price of an extra bought too late, or unused by the operator's fault; else unused is not refunded."""
    for extra in case.prepaid:
        rejected = standing(case, extra) is Standing.REJECTED
        if rejected or (extra.unused_by_operator and not _used(extra, sheet)):
            label = "bought after pickup" if rejected else "could not be used"
            source = f"{extra.path}.price"
            yield from _given(case, "PREPAID_REFUND", extra.name, extra.price or ZERO, label, source, "")


def _used(extra: Extra, sheet: Sheet) -> bool:
    return any(part.source.startswith(f"{extra.path}.") for charge in sheet.charges for part in charge.cover)


def _early(case: Case, sheet: Sheet) -> Iterator[Charge]:
    """A part of the price of each whole day not used, where the rate card refunds any."""
    rule = case.rules.late.early_return if case.rules.late is not None else None
    back = case.rental.returned_at
    if rule is None or back is None:
        return
    days = Decimal((case.rental.due_back.utc - back.utc) // A_DAY)
    raw = case.money(days * rule.day_rate * rule.refund_pct / 100)
    if raw > 0:
        steps = (
            minus(days, "days", "not used", "rental.returned_at"),
            times(rule.day_rate, f"{case.currency.code}/day", "a day", "rules.late.early_return.day_rate"),
            times(rule.refund_pct, "%", "refunded", "rules.late.early_return.refund_pct"),
            divided(Decimal(100), "", "per cent"),
        )
        yield Charge("EARLY_RETURN", "return", -raw, steps, f"{days} days not used", like="EXTENSION")


def _found_again(case: Case, sheet: Sheet) -> Iterator[Charge]:
    """A thing found later and sent back in time: what it was charged, less the handling."""
    rate = case.rules.equipment
    for item in case.equipment:
        if _in_time(item, rate.found_within_days):
            paid = sum((one.due for one in sheet.charges if one.code == "EQUIPMENT" and one.group == item.path), ZERO)
            amount = paid - rate.handling_fee
            label = f"found, less handling of {rate.handling_fee}"
            source = f"{item.path}.returned_after_days"
            yield from _given(case, "EQUIPMENT_CREDIT", item.item, amount, label, source, "EQUIPMENT")


def _in_time(item: MissingItem, within: int | None) -> bool:
    return within is not None and item.returned_after_days is not None and item.returned_after_days <= within


def _recoveries(case: Case, sheet: Sheet) -> Iterator[Charge]:
    """What a third party paid: the customer first, up to what is due for the event, or by share."""
    rate = case.rules.damage
    for event in grouped(case)[0] if rate is not None else ():
        if rate is not None and event.recovered:
            own = [charge for charge in sheet.charges if charge.group == event.id]
            yield from _recovered(case, event, own, event.recovered, by_share=rate.recovery == "pro_rata")


def _recovered(case: Case, event: Event, own: list[Charge], amount: Decimal, *, by_share: bool) -> Iterator[Charge]:
    repair = [charge for charge in own if charge.code != "ADMIN"]
    due, full = (sum((getattr(one, name) for one in repair), ZERO) for name in ("due", "raw"))
    source = f"{event.path}.recovered"
    if by_share:
        share = min(due, amount * due / full) if full else ZERO
        yield from _given(case, "RECOVERY", event.id, share, "paid by a third party, your share", source, "DAMAGE")
        return
    label = "paid by a third party"
    yield from _given(case, "RECOVERY", event.id, min(due, amount), label, source, "DAMAGE")
    fee = sum((charge.due for charge in own if charge.code == "ADMIN"), ZERO)
    yield from _given(case, "RECOVERY", event.id, min(fee, amount - min(due, amount)), label, source, "ADMIN")


def _by_hand(case: Case, sheet: Sheet) -> Iterator[Charge]:
    for one in case.credits:
        amount = case.money(one.amount)
        step = Step(Sign.MINUS, amount, case.currency.code, one.reason, f"{one.path}.amount")
        like = one.reduces or one.code
        yield Charge(one.code, one.ref, -amount, (step,), one.reason, like=like, tax_class=one.tax_class)


def _manual(case: Case, sheet: Sheet) -> Iterator[Charge]:
    """A charge by hand: with evidence, two people and the customer told, as the document has to say."""
    for one in case.manual_lines:
        step = start(one.amount, case.currency.code, one.evidence, f"{one.path}.amount")
        yield Charge("MANUAL", one.ref, case.money(one.amount), (step,), one.evidence, tax_class=one.tax_class)


SOURCES: tuple[Callable[[Case, Sheet], Iterator[Charge]], ...] = (
    _manual,
    _foreign_cylinders,
    _found_again,
    _early,
    _recoveries,
    _extras,
    _by_hand,
)
