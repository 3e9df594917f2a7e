"""Damage by event: full prices, the excess, loss of use inside or beside it, one handling fee."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.damage_rates import DamageRate
from handover.charges.document.findings import DamageItem, Event
from handover.charges.rules.cut_off import SENTENCE, found_too_late
from handover.charges.rules.damage_events import grouped
from handover.charges.rules.damage_fee import handling_fee
from handover.charges.rules.damage_marks import fair_wear, is_known, known_sizes
from handover.charges.rules.damage_price import priced
from handover.charges.rules.excess import Liability, held_to, is_excluded, liability, own_group
from handover.charges.rules.loss_of_use import loss_of_use
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why

MAIN, EXCLUDED = "", "excluded in full"
MOVED = {
    "undecided": "No photo before it was moved: a manager decides before it is charged.",
    "charged": "No photo before it was moved: a manager decided that it is charged.",
}


@dataclass(slots=True)
class _Bill:
    """One event while it is worked out: each item with its charge, the loss of use, and the findings."""

    event: Event
    option: Liability
    items: list[tuple[DamageItem, Charge]] = field(default_factory=list)
    loss: Charge | None = None
    findings: list[Finding] = field(default_factory=list)


def damage(case: Case, sheet: Sheet) -> Sheet:
    """Charges DAMAGE, LOSS_OF_USE and ADMIN by event, in the order of the document.

    With the excess per rental, what one event used up is gone for the next one in order of time.
    """
    rate = case.rules.damage
    if rate is None:
        return sheet.add(findings=_no_rate(case))
    events, merged = grouped(case)
    sheet = sheet.add(findings=merged)
    bills = _bills(case, rate, events)
    used = case.previous_settlement.excess_paid if case.previous_settlement is not None else ZERO
    due: dict[str, list[Charge]] = {}
    for bill in sorted(bills, key=_time_order):
        due[bill.event.id], paid = _payable(case, rate, bill, used)
        used += paid if rate.excess_per == "rental" else ZERO
    for bill in bills:
        charges = due[bill.event.id]
        sheet = sheet.add(charges=[*charges, *handling_fee(case, bill.event, charges)], findings=bill.findings)
    return sheet


def _no_rate(case: Case) -> Iterator[Finding]:
    for event in case.events:
        yield Finding("DAMAGE", event.id, Why.NO_RULE, "Not charged: no liability option and no price for damage.")


def _time_order(bill: _Bill) -> tuple[bool, str]:
    at = bill.event.at
    return (at is None, at.utc.isoformat() if at is not None else "")


def _bills(case: Case, rate: DamageRate, events: tuple[Event, ...]) -> list[_Bill]:
    known = known_sizes(case, events)
    wear = fair_wear(rate, events, known)
    bills = []
    for event in events:
        bill = _Bill(event, liability(case, rate, event))
        for item in event.items:
            size = known.get(item.path)
            spared = _spared(case, rate, item, size, worn=item.path in wear)
            found = Finding("DAMAGE", item.name, *spared) if spared else priced(case, rate, event, item, size)
            _keep(bill, item, found)
        _stands(case, bill)
        bills.append(bill)
    return bills


def _keep(bill: _Bill, item: DamageItem, found: Charge | Finding) -> None:
    if isinstance(found, Charge):
        bill.items.append((item, found))
        if item.moved_first:
            bill.findings.append(Finding("DAMAGE", item.name, Why.NOT_PROVEN, MOVED[item.moved_first]))
    else:
        bill.findings.append(found)


def _stands(case: Case, bill: _Bill) -> None:
    """Loss of use needs a repair that is charged."""
    rate = case.rules.loss_of_use
    found = loss_of_use(case, rate, bill.event) if rate is not None and bill.items else None
    if isinstance(found, Charge):
        bill.loss = found
    elif found is not None:
        bill.findings.append(found)


def _spared(
    case: Case, rate: DamageRate, item: DamageItem, known: Decimal | None, *, worn: bool
) -> tuple[Why, str] | None:
    """Why an item is not charged: nobody looked there at pickup, it was there, it is wear, or another line has it."""
    if not item.inspected_at_pickup:
        return Why.NO_BASELINE, "Not chargeable: this part was not looked at at pickup."
    if item.moved_first == "dropped":
        return Why.NOT_PROVEN, "Not charged: no photo before it was moved."
    if is_known(item, known):
        return Why.PRE_EXISTING, "Not charged: it was there at pickup."
    if worn:
        return Why.FAIR_WEAR, "Not charged: fair wear."
    if item.second_on_axle and not rate.second_tyre_on_axle:
        return Why.NOT_APPLICABLE, "Not charged: a second tyre on one axle is not agreed."
    return _elsewhere(case, item)


def _elsewhere(case: Case, item: DamageItem) -> tuple[Why, str] | None:
    if found_too_late(case, "DAMAGE", item.name):
        return Why.TOO_LATE, SENTENCE
    if _is_equipment(case, item):
        return Why.ONE_FINDING_ONE_LINE, "Not charged here: it is charged as equipment."
    return None


def _is_equipment(case: Case, item: DamageItem) -> bool:
    """One finding, one line: the same finding, or the same thing by name, stands under equipment already."""
    return any(
        one.item.casefold() == item.part.casefold() or (item.finding is not None and one.finding == item.finding)
        for one in case.equipment
        if one.qty
    )


def _payable(case: Case, rate: DamageRate, bill: _Bill, used: Decimal) -> tuple[list[Charge], Decimal]:
    """The event's charges with what is covered, and how much of the shared excess they used."""
    charges = [charge for _, charge in bill.items] + ([] if bill.loss is None else [bill.loss])
    pools = _pools(case, rate, bill)
    shared = ZERO
    for pool in dict.fromkeys(pools):
        excess, source = _excess_of(rate, bill.option, pool, used)
        places = [place for place, name in enumerate(pools) if name == pool]
        held = held_to(case, rate, [charges[place] for place in places], excess, source)
        for place, charge in zip(places, held, strict=True):
            charges[place] = charge
        shared += sum((charge.due for charge in held), ZERO) if pool == MAIN else ZERO
    return charges, shared


def _excess_of(rate: DamageRate, option: Liability, pool: str, used: Decimal) -> tuple[Decimal | None, str]:
    if pool == EXCLUDED:
        return None, ""
    if pool != MAIN:
        return option.own_excess[pool], "rules.damage.options"
    if option.excess is None or rate.excess_per == "event":
        return option.excess, "rules.damage.excess"
    return max(ZERO, option.excess - used), "rules.damage.excess"


def _pools(case: Case, rate: DamageRate, bill: _Bill) -> list[str]:
    """For each charge the excess it shares: the option's, its group's own, or none because it is excluded."""
    excluded = [is_excluded(case, rate, bill.event, item, bill.option) for item, _ in bill.items]
    voided = rate.exclusion_scope == "whole_event" and any(excluded)
    pools = [
        EXCLUDED if out or voided else own_group(item, bill.option) or MAIN
        for (item, _), out in zip(bill.items, excluded, strict=True)
    ]
    if bill.loss is None:
        return pools
    inside = case.rules.loss_of_use is not None and case.rules.loss_of_use.inside_excess and not voided
    return [*pools, MAIN if inside else EXCLUDED]
