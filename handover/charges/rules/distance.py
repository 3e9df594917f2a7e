"""Distance driven over the allowance, in tiers."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.legs import Leg
from handover.charges.document.time_rates import DistanceRate
from handover.charges.extra_standing import standing_extras
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, begun, equals, minus, plus, spoken, times

KM_PER_MILE = Decimal("1.609344")  # international yard and pound agreement, 1959: exact


def distance(case: Case, sheet: Sheet) -> Sheet:
    """Charges DISTANCE by tier, over all legs together.

    One leg without both odometer readings and without an agreed distance: the allowance is assumed, no charge.
    An allowance that is not pooled needs the distance of each day; without it days are pooled, for the customer.
    An early return does not shrink the allowance. A pack that was prepaid adds to it, and is not refunded.
    """
    rate = case.rules.distance
    if rate is None or not any(_told(leg) for leg in case.legs):
        return sheet
    if rate.included_per_day is None:
        return sheet.add(findings=[_finding(Why.INCLUDED, "Distance is unlimited.")])
    driven = [_driven(rate, leg) for leg in case.legs]
    unread = [leg.unit for leg, steps in zip(case.legs, driven, strict=True) if not steps]
    if unread:
        sentence = f"Not chargeable: no odometer reading at both ends of {', '.join(unread)}."
        return sheet.add(findings=[_finding(Why.NO_BASELINE, sentence)])
    steps = [step for leg_steps in driven for step in leg_steps]
    over, steps = _over(case, rate, steps)
    return _judged(case, rate, over, steps, sheet)


def _told(leg: Leg) -> bool:
    return leg.odo_out is not None or leg.odo_in is not None or leg.agreed_distance is not None


def _finding(why: Why, sentence: str) -> Finding:
    return Finding("DISTANCE", "rental", why, sentence)


def _driven(rate: DistanceRate, leg: Leg) -> list[Step]:
    """The leg's distance in the rate's unit as steps that add to a sum; none if it is not known."""
    if leg.agreed_distance is not None:
        return [plus(leg.agreed_distance, rate.unit, f"{leg.unit}, as agreed", f"{leg.path}.agreed_distance")]
    if leg.odo_out is None or leg.odo_in is None:
        return []
    if leg.odo_unit in (None, rate.unit):
        return [
            plus(Decimal(leg.odo_in), rate.unit, f"{leg.unit} came back with", f"{leg.path}.odo_in"),
            minus(Decimal(leg.odo_out), rate.unit, f"{leg.unit} left with", f"{leg.path}.odo_out"),
        ]
    shown = Decimal(leg.odo_in - leg.odo_out)
    converted = shown * KM_PER_MILE if rate.unit == "km" else shown / KM_PER_MILE
    label = f"{leg.unit} drove, {shown} {leg.odo_unit}"
    return [plus(converted, rate.unit, label, f"{leg.path}.odo_in")]


def _total(steps: list[Step]) -> Decimal:
    return sum((-step.quantity if step.sign is Sign.MINUS else step.quantity for step in steps), ZERO)


def _over(case: Case, rate: DistanceRate, driven: list[Step]) -> tuple[Decimal, list[Step]]:
    steps = list(driven)
    if case.rental.operator_distance:
        delivery = "driven for the branch, not counted"
        steps.append(minus(case.rental.operator_distance, rate.unit, delivery, "rental.operator_distance"))
    days = [day for leg in case.legs for day in leg.daily_distance]
    if not rate.pooled and days:
        return _over_by_day(rate, days)
    steps += [_allowance(case, rate), *_packs(case, rate)]
    return _total(steps), steps


def _over_by_day(rate: DistanceRate, days: list[Decimal]) -> tuple[Decimal, list[Step]]:
    """Each day by itself: what one day leaves, the next does not use."""
    allowed = rate.included_per_day or ZERO
    over = [day - allowed for day in days if day > allowed]
    label = f"over {spoken(allowed)} on one day"
    return sum(over, ZERO), [plus(day, rate.unit, label, "legs[0].daily_distance") for day in over]


def _allowance(case: Case, rate: DistanceRate) -> Step:
    days = _charged_days(case, rate)
    allowed = (rate.included_per_day or ZERO) * days
    label = f"included, {days} days × {spoken(rate.included_per_day or ZERO)}"
    return minus(allowed, rate.unit, label, "rules.distance.included_per_day")


def _charged_days(case: Case, rate: DistanceRate) -> Decimal:
    """As charged in the agreement with its extensions, unless the rate card counts them in its own way."""
    first, last = case.rental.pickup_at, case.rental.due_back
    nights = (last.local.date() - first.local.date()).days
    if rate.charged_days_basis == "24h":
        minutes = Decimal((last.utc - first.utc) // timedelta(minutes=1))
        return begun(minutes, 1440)
    if rate.charged_days_basis == "calendar_days":
        return Decimal(nights + 1)
    return Decimal(nights if rate.charged_days_basis == "nights" else case.rental.charged_days)


def _packs(case: Case, rate: DistanceRate) -> Iterator[Step]:
    for extra, _ in standing_extras(case):
        for unit, amount in (("km", extra.limits.distance_km), ("mi", extra.limits.distance_mi)):
            if amount:
                in_unit = _converted(amount, unit, rate.unit)
                yield minus(in_unit, rate.unit, f"{extra.name}, prepaid", f"{extra.path}.limits.distance_{unit}")


def _converted(amount: Decimal, unit: str, wanted: str) -> Decimal:
    if unit == wanted:
        return amount
    return amount * KM_PER_MILE if wanted == "km" else amount / KM_PER_MILE


def _judged(case: Case, rate: DistanceRate, over: Decimal, steps: list[Step], sheet: Sheet) -> Sheet:
    if over <= rate.tolerance:
        why = Why.WITHIN_TOLERANCE if over > 0 else Why.WITHIN_ALLOWANCE
        sentence = f"{spoken(over)} {rate.unit} over, within the tolerance." if over > 0 else "Within what is included."
        return sheet.add(findings=[_finding(why, sentence)])
    begin = (*steps, equals(over, rate.unit, "over"))
    whole = rate.tier_mode == "whole_amount"
    charges = list(_whole_amount(case, rate, over, begin) if whole else _marginal(case, rate, over, begin))
    return sheet.add(charges=_floor(case, rate, [charge for charge in charges if charge.raw]))


def _marginal(case: Case, rate: DistanceRate, over: Decimal, begin: tuple[Step, ...]) -> Iterator[Charge]:
    """Each tier's rate on the distance inside that tier alone."""
    reached = ZERO
    for number, tier in enumerate(rate.tiers):
        end = over if tier.up_to is None else min(over, tier.up_to)
        if end > reached:
            steps = begin
            if reached:
                steps = (*steps, minus(reached, rate.unit, "in the tiers before", f"{tier.path}.up_to"))
            if end < over:
                steps = (*steps, Step(Sign.AT_MOST, end - reached, rate.unit, "in this tier", f"{tier.path}.up_to"))
            yield _tier(case, rate, number, end - reached, steps)
            reached = end


def _whole_amount(case: Case, rate: DistanceRate, over: Decimal, begin: tuple[Step, ...]) -> Iterator[Charge]:
    """All of it at the rate of the tier that it reaches."""
    number = next(at for at, tier in enumerate(rate.tiers) if tier.up_to is None or over <= tier.up_to)
    yield _tier(case, rate, number, over, begin)


def _tier(case: Case, rate: DistanceRate, number: int, part: Decimal, steps: tuple[Step, ...]) -> Charge:
    tier = rate.tiers[number]
    step = times(tier.rate, f"{case.currency.code}/{rate.unit}", f"tier {number + 1}", f"{tier.path}.rate")
    measure = f"{spoken(part)} {rate.unit} over"
    return Charge("DISTANCE", f"tier {number + 1}", case.money(part * tier.rate), (*steps, step), measure)


def _floor(case: Case, rate: DistanceRate, charges: list[Charge]) -> list[Charge]:
    """The minimum charge counts for all tiers together; what is lacking is added to the last tier's line."""
    total = sum((charge.raw for charge in charges), ZERO)
    if not charges or rate.min_charge is None or total >= rate.min_charge:
        return charges
    last = charges[-1]
    raw = case.money(last.raw + rate.min_charge - total)
    unit = case.currency.code
    steps = (
        *last.steps,
        equals(last.raw, unit, "at the rate"),
        Step(Sign.AT_LEAST, raw, unit, f"minimum charge {rate.min_charge}", "rules.distance.min_charge"),
    )
    return [*charges[:-1], Charge(last.code, last.ref, raw, steps, last.measure)]
