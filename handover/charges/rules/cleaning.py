"""Cleaning: one tier for each zone, at its price or by quarter hours."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.findings import Soiling
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, begun, equals, spoken, start, times

QUARTER = Decimal("0.25")


def cleaning(case: Case, sheet: Sheet) -> Sheet:
    """Charges CLEANING by zone.

    A stain that stays is damage: its zone is not charged as cleaning too. Powder of an extinguisher used at a
    fire with a report is free, like its kit.
    """
    charges: list[Charge] = []
    findings: list[Finding] = []
    for zone, found in case.cleaning.items():
        ref = zone if found is None else f"{zone} {found.tier}"
        spared = _spared(case, zone, found)
        if found is None or spared is not None:
            findings.append(Finding("CLEANING", ref, *(spared or NOT_INSPECTED)))
        else:
            charges += _charges(case, zone, found, ref)
    return sheet.add(charges=charges, findings=findings)


NOT_INSPECTED = (Why.NOT_READ, "Not chargeable: not inspected.")


def _spared(case: Case, zone: str, found: Soiling | None) -> tuple[Why, str] | None:
    if found is None:
        return NOT_INSPECTED
    if found.tier == "none":
        return Why.LEVEL, "Clean."
    if _price(case, zone, found) is None:
        return Why.NO_RULE, "Not charged: the rate card has no price for this."
    if any(item.stain_zone == zone for event in case.events for item in event.items):
        return Why.ONE_FINDING_ONE_LINE, "Not charged: the stain that stays is charged as damage."
    if found.cause == "powder" and any(kit.fire_report for kit in case.kits):
        return Why.EXEMPT, "Not charged: extinguisher powder after a fire with a report."
    return None


def _price(case: Case, zone: str, found: Soiling) -> Decimal | None:
    rate = case.rules.cleaning.get(zone)
    if rate is None:
        return None
    by_hour = rate.hour_rate if found.hours is not None else None
    fixed = rate.of(found.tier)
    return by_hour if fixed is None else fixed


def _charges(case: Case, zone: str, found: Soiling, ref: str) -> Iterator[Charge]:
    price = _price(case, zone, found) or ZERO
    fixed = case.rules.cleaning[zone].of(found.tier)
    if fixed is None:
        hours, steps = _hours(case, zone, found, price)
        raw, measure = case.money(hours * price), f"{spoken(hours)} h"
    else:
        steps = (start(price, case.currency.code, ref, f"rules.cleaning.{zone}.{found.tier}"),)
        raw, measure = case.money(price), found.cause or found.tier
    if raw:
        yield Charge("CLEANING", ref, raw, steps, measure, zone)


def _hours(case: Case, zone: str, found: Soiling, price: Decimal) -> tuple[Decimal, tuple[Step, ...]]:
    hours = begun(found.hours or ZERO, QUARTER) * QUARTER
    return hours, (
        start(found.hours or ZERO, "h", "worked", f"cleaning.{zone}.hours"),
        Step(Sign.WHOLE, QUARTER, "h", "quarter hours begun"),
        equals(hours, "h", "counts"),
        times(price, f"{case.currency.code}/h", "an hour", f"rules.cleaning.{zone}.hour_rate"),
    )
