"""What the prepaid extras pay: each part by its own limit, the most specific first, never above the full price."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import TIERS
from handover.charges.document.extras import Extra
from handover.charges.document.time_rates import LateRate
from handover.charges.extra_standing import Standing, covers_gas, standing, standing_extras
from handover.charges.sheet import ZERO, Charge, CoverPart, Finding, Sheet, Why
from handover.charges.workings import begun, spoken


@dataclass(slots=True)
class _Counter:
    """The charges while cover is laid over them, and how much quantity of each is paid."""

    charges: list[Charge]
    paid: dict[int, Decimal] = field(default_factory=dict)

    def of(self, code: str) -> Iterator[int]:
        """Positions of the charges of a code on which something is still due."""
        return (at for at, charge in enumerate(self.charges) if charge.code == code and charge.due > 0)

    def pay(self, at: int, extra: Extra, amount: Decimal, label: str, source: str) -> None:
        part = CoverPart(extra.name, amount, f"{extra.name}: {label}", f"{extra.path}.{source}")
        self.charges[at] = self.charges[at].covered_by(part)

    def pay_all(self, at: int, extra: Extra, label: str, source: str) -> None:
        self.pay(at, extra, self.charges[at].due, label, source)


def cover(case: Case, sheet: Sheet) -> Sheet:
    """Lays cover over the charges. Minimum charges come first, cover after; what is not listed is not covered."""
    if not case.prepaid:
        return sheet
    counter = _Counter(list(sheet.charges))
    for extra, how in standing_extras(case):
        if how is Standing.VALID:
            _fuel(case, extra, counter)
        _gas(case, extra, counter)
        _late(case, extra, counter)
        _return(case, extra, counter)
    _gas_fee(case, counter)
    return sheet.with_charges(counter.charges).add(findings=_rejected(case))


def _rejected(case: Case) -> Iterator[Finding]:
    for extra in case.prepaid:
        if standing(case, extra) is Standing.REJECTED:
            sentence = f"{extra.name} was bought after pickup: it does not apply, and its price comes back."
            yield Finding("PREPAID_REFUND", extra.name, Why.NOT_APPLICABLE, sentence)


def _fuel(case: Case, extra: Extra, counter: _Counter) -> None:
    for at in _dearest_first(case, counter)[: extra.limits.fuel_tanks or 0]:
        _pay_fee(counter, extra, counter.charges[at], "limits.fuel_tanks")
        counter.pay_all(at, extra, "this tank", "limits.fuel_tanks")
    left = extra.limits.fuel_litres or ZERO
    for at in _dearest_first(case, counter):
        left = _litres(case, extra, counter, at, left)


def _dearest_first(case: Case, counter: _Counter) -> list[int]:
    """Legs with fuel still due, the dearest with its fee first, or in order of time."""
    positions = list(counter.of("FUEL"))
    if case.rules.prepaid.fuel_tanks_order == "in_time_order":
        return positions
    return sorted(positions, key=lambda at: -_with_fee(counter, at))


def _with_fee(counter: _Counter, at: int) -> Decimal:
    ref = counter.charges[at].ref
    fees = (charge.due for charge in counter.charges if charge.code == "FUEL_SERVICE" and charge.ref == ref)
    return counter.charges[at].due + sum(fees, ZERO)


def _pay_fee(counter: _Counter, extra: Extra, fuel: Charge, source: str) -> None:
    """The fee of that leg; a fee once per rental is waived with the first tank paid, in the customer's favour."""
    for at in list(counter.of("FUEL_SERVICE")):
        if counter.charges[at].ref in (fuel.ref, "rental"):
            counter.pay_all(at, extra, "service fee", source)


def _litres(case: Case, extra: Extra, counter: _Counter, at: int, left: Decimal) -> Decimal:
    """So many litres at the line's own price; the fee only when every litre is paid. Returns the litres left."""
    charge = counter.charges[at]
    open_litres = charge.quantity - counter.paid.get(at, ZERO)
    if not left:
        return left
    source = "limits.fuel_litres"
    if left >= open_litres:
        _pay_fee(counter, extra, charge, source)
        counter.pay_all(at, extra, f"all {spoken(open_litres)} L", source)
        return left - open_litres
    price = charge.rate or ZERO
    counter.pay(at, extra, case.money(left * price), f"{spoken(left)} L × {spoken(price)}", source)
    counter.paid[at] = counter.paid.get(at, ZERO) + left
    return ZERO


def _gas(case: Case, extra: Extra, counter: _Counter) -> None:
    for at in list(counter.of("GAS"))[: extra.limits.gas_cylinders or 0]:
        counter.pay_all(at, extra, "this cylinder", "limits.gas_cylinders")
    left = extra.limits.gas_kg or ZERO
    for at in list(counter.of("GAS")):
        left = _kilograms(case, extra, counter, at, left)


def _kilograms(case: Case, extra: Extra, counter: _Counter, at: int, left: Decimal) -> Decimal:
    """So many kilograms at the line's price; of a refill its part by weight. Returns the kilograms left."""
    charge = counter.charges[at]
    open_kg = charge.quantity - counter.paid.get(at, ZERO)
    if not left:
        return left
    if left >= open_kg:
        counter.pay_all(at, extra, f"all {spoken(open_kg)} kg", "limits.gas_kg")
        return left - open_kg
    part = left * charge.rate if charge.rate is not None else charge.raw * left / charge.quantity
    counter.pay(at, extra, case.money(part), f"{spoken(left)} kg", "limits.gas_kg")
    counter.paid[at] = counter.paid.get(at, ZERO) + left
    return ZERO


def _gas_fee(case: Case, counter: _Counter) -> None:
    """Waived only if all gas is paid, or any of it where the extra's `fee_waiver` is any."""
    gas = [charge for charge in counter.charges if charge.code == "GAS"]
    all_paid = all(charge.due == 0 for charge in gas)
    for extra, _ in standing_extras(case):
        helped = covers_gas(extra) and any(part.name == extra.name for charge in gas for part in charge.cover)
        if helped and (all_paid or extra.fee_waiver == "any"):
            for at in list(counter.of("GAS_SERVICE")):
                counter.pay_all(at, extra, "service fee", "limits")


def _late(case: Case, extra: Extra, counter: _Counter) -> None:
    """So many blocks at the rate of a block; minutes pay every block they begin, in the customer's favour."""
    rate = case.rules.late
    if rate is None:
        return
    blocks = late_blocks(extra, rate)
    source = "limits.late_minutes" if extra.limits.late_minutes else "limits.late_blocks"
    for at in list(counter.of("LATE")):
        amount = case.money(blocks * rate.rate_per_block)
        counter.pay(at, extra, amount, f"{blocks} × {spoken(rate.rate_per_block)}", source)


def late_blocks(extra: Extra, rate: LateRate) -> Decimal:
    """How many blocks of lateness an extra pays: so many, or those that its minutes begin."""
    minutes = extra.limits.late_minutes
    return begun(minutes, rate.block_min) if minutes else Decimal(extra.limits.late_blocks or 0)


def _return(case: Case, extra: Extra, counter: _Counter) -> None:
    limits = extra.limits
    for code, covers, label in (
        ("AFTER_HOURS", limits.after_hours, "after hours"),
        ("WASTE_TANK", limits.grey, "grey water"),
        ("TOILET", limits.toilet, "toilet"),
    ):
        for at in list(counter.of(code)) if covers else ():
            counter.pay_all(at, extra, label, "limits")
    for at in list(counter.of("SAFETY_KIT")):
        if counter.charges[at].ref in limits.kits:
            counter.pay_all(at, extra, "this kit", "limits.kits")
    for at in list(counter.of("CLEANING")):
        _cleaning(case, extra, counter, at)


def _cleaning(case: Case, extra: Extra, counter: _Counter, at: int) -> None:
    """The zone up to its tier; above it, the price of the covered tier is paid and the difference is due.

    Smoke, pets and the like need their name among the extra's causes, else the cover ends at heavy.
    """
    zone = counter.charges[at].group
    up_to, found = extra.cleaning_up_to.get(zone), case.cleaning[zone]
    if up_to is None or found is None:
        return
    if found.cause is not None and found.cause not in extra.cleaning_causes:
        up_to = min(up_to, "heavy", key=TIERS.index)
    source = f"cleaning_up_to.{zone}"
    if TIERS.index(found.tier) <= TIERS.index(up_to):
        counter.pay_all(at, extra, f"{zone} up to {up_to}", source)
    else:
        price = case.rules.cleaning[zone].of(up_to) or ZERO
        counter.pay(at, extra, case.money(price), f"{zone} up to {up_to}", source)
