"""Safety kits: opened means purchased once, whole or by the item; an accident or a fire with a report is free."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.consumable_rates import KitRate
from handover.charges.document.findings import Kit
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, equals, plus, start


def safety_kits(case: Case, sheet: Sheet) -> Sheet:
    """Charges SAFETY_KIT by kit. An intact seal with another number than at pickup counts as opened."""
    charges: list[Charge] = []
    findings: list[Finding] = []
    for kit in case.kits:
        rate = case.rules.kits.get(kit.kit)
        spared = NO_PRICE if rate is None else _spared(kit, rate)
        if rate is None or spared is not None:
            findings.append(Finding("SAFETY_KIT", kit.kit, *(spared or NO_PRICE)))
        else:
            charges += [charge for charge in (_charge(case, kit, rate),) if charge.raw]
    return sheet.add(charges=charges, findings=findings)


NO_PRICE = (Why.NO_RULE, "Not charged: the rate card has no price for this kit.")


def _spared(kit: Kit, rate: KitRate) -> tuple[Why, str] | None:
    """Why the kit is not charged; None when it is."""
    if kit.seal_out is None or kit.gauge_out is None:
        return Why.NO_BASELINE, "Not chargeable: its seal or gauge was not recorded at pickup."
    return _unopened(kit) or _exempt(kit, rate)


def _unopened(kit: Kit) -> tuple[Why, str] | None:
    if _opened(kit):
        return None
    if kit.seal_intact is None:
        return Why.NOT_READ, "Not chargeable: its seal was not looked at on return."
    return Why.LEVEL, "Whole, as it left."


def _exempt(kit: Kit, rate: KitRate) -> tuple[Why, str] | None:
    if kit.expired_at_pickup:
        return Why.EXEMPT, "Not charged: it was past its date at pickup."
    if rate.accident_exempt and (kit.injury_report or kit.fire_report):
        return Why.EXEMPT, "Not charged: used in an emergency, with a report."
    return None


def _opened(kit: Kit) -> bool:
    other_seal = bool(kit.seal_out and kit.seal_in) and kit.seal_out != kit.seal_in
    lost_pressure = kit.gauge_in == "out_of_green" and kit.gauge_out != "out_of_green"
    return kit.seal_intact is False or other_seal or bool(kit.missing) or kit.pin_pulled or lost_pressure


def _charge(case: Case, kit: Kit, rate: KitRate) -> Charge:
    measure = _measure(kit)
    if rate.mode == "per_item":
        raw, steps = _by_item(case, kit, rate)
        return Charge("SAFETY_KIT", kit.kit, raw, steps, measure)
    price = rate.kit_price or ZERO
    step = start(price, case.currency.code, "the kit, once", f"rules.kits.{kit.kit}.kit_price")
    return Charge("SAFETY_KIT", kit.kit, case.money(price), (step,), measure)


def _by_item(case: Case, kit: Kit, rate: KitRate) -> tuple[Decimal, tuple[Step, ...]]:
    """The items used and the fee for sealing it again, never more than the whole kit."""
    unit = case.currency.code
    steps = list(_item_steps(kit, rate, unit))
    total = sum((step.quantity for step in steps), ZERO)
    if rate.kit_price is not None and total > rate.kit_price:
        steps += [equals(total, unit, "items and seal"), _cap(kit, rate.kit_price, unit)]
        total = rate.kit_price
    return case.money(total), tuple(steps)


def _cap(kit: Kit, price: Decimal, unit: str) -> Step:
    return Step(Sign.AT_MOST, price, unit, "never more than the whole kit", f"rules.kits.{kit.kit}.kit_price")


def _item_steps(kit: Kit, rate: KitRate, unit: str) -> Iterator[Step]:
    for item in kit.missing:
        yield plus(rate.items[item], unit, item, f"rules.kits.{kit.kit}.items.{item}")
    if rate.reseal_fee:
        yield plus(rate.reseal_fee, unit, "sealing it again", f"rules.kits.{kit.kit}.reseal_fee")


def _measure(kit: Kit) -> str:
    if kit.seal_intact and kit.seal_in and kit.seal_out and kit.seal_in != kit.seal_out:
        return f"Seal {kit.seal_out} left, seal {kit.seal_in} came back"
    if kit.seal_intact is False:
        return f"Seal {kit.seal_out} broken" if kit.seal_out else "Seal broken"
    return f"{len(kit.missing)} used" if kit.missing else "Used"
