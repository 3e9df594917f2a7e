"""Late return: blocks begun, capped by the day; the fee for a drop outside the hours; the next customer's cost."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.time_rates import LateRate
from handover.charges.rules.lateness import A_DAY, Lateness, lateness
from handover.charges.sheet import ZERO, Charge, Finding, Sheet, Why
from handover.charges.workings import Sign, Step, begun, divided, equals, minus, plus, spoken, start, times


def late_return(case: Case, sheet: Sheet) -> Sheet:
    """Charges LATE, AFTER_HOURS and NEXT_BOOKING; derives late_minutes and deemed_return_at.

    Late as long as the grace is inside it. Grace then either does not shorten the count, or does (end_of_grace).
    """
    rate = case.rules.late
    late = lateness(case, rate) if rate is not None else None
    if rate is None or late is None:
        return sheet
    derived: dict[str, str | int] = {"late_minutes": late.clocked.late}
    if late.deemed is not None:
        derived["deemed_return_at"] = late.deemed.text
    charges = [*_late(case, rate, late)]
    charges += [*_next_booking(case, rate, charges), *_after_hours(case, rate, late)]
    return sheet.add(charges=charges, findings=_in_grace(rate, late), derived=derived)


def _in_grace(rate: LateRate, late: Lateness) -> Iterator[Finding]:
    minutes = late.clocked.late
    if not minutes:
        yield Finding("LATE", "return", Why.LEVEL, "Back in time.")
    elif minutes <= rate.grace_min:
        sentence = f"{minutes} min late, inside the grace of {spoken(rate.grace_min)} min."
        yield Finding("LATE", "return", Why.WITHIN_GRACE, sentence)


def _late(case: Case, rate: LateRate, late: Lateness) -> Iterator[Charge]:
    minutes = Decimal(late.clocked.late)
    if not minutes or minutes <= rate.grace_min:
        return
    steps = [*_minutes_late(late)]
    if rate.count_from == "end_of_grace" and rate.grace_min:
        steps.append(minus(rate.grace_min, "min", "grace", "rules.late.grace_min"))
        minutes -= rate.grace_min
    raw, priced = _priced(case, rate, minutes)
    if raw:
        yield Charge("LATE", "return", raw, (*steps, *priced), f"{late.clocked.late} min late")


def _minutes_late(late: Lateness) -> Iterator[Step]:
    source = "rental.returned_at" if late.deemed is None else "rules.late.opening_hours"
    yield start(Decimal(late.clocked.between), "min", f"late, {late.clocked.name} time", source)
    if late.clocked.closed:
        yield minus(Decimal(late.clocked.closed), "min", "days the branch was closed", "rules.late.closed_dates")
    if late.clocked.waited:
        yield minus(Decimal(late.clocked.waited), "min", "waiting on the branch", "rental.operator_waits")


def day_amount(rate: LateRate) -> Decimal | None:
    """What 24 hours of lateness cost at most: the cap, or the full day of the day rule, the lower of both."""
    day = rate.day_rule.rate * rate.day_rule.factor if rate.day_rule is not None else None
    known = [amount for amount in (rate.daily_cap, day) if amount is not None]
    return min(known) if known else None


def _priced(case: Case, rate: LateRate, minutes: Decimal) -> tuple[Decimal, tuple[Step, ...]]:
    """The amount, and the steps from minutes to money."""
    cap = day_amount(rate)
    days, rest = divmod(minutes, A_DAY) if cap is not None else (ZERO, minutes)
    if cap is not None and (not rest or _a_full_day(rate, rest)):
        return _days_only(case, minutes, cap)
    blocks = begun(rest, rate.block_min)
    amount = blocks * rate.rate_per_block
    steps = [*_whole_days(days), *_blocks(case, rate, blocks)]
    if cap is not None and amount > cap:
        steps += [equals(case.money(amount), case.currency.code, "blocks"), _cap(case, cap)]
        amount = cap
    if days and cap is not None:
        steps.append(plus(days * cap, case.currency.code, f"{days} whole days × {cap}", "rules.late.daily_cap"))
        amount += days * cap
    return case.money(amount), tuple(steps)


def _a_full_day(rate: LateRate, rest: Decimal) -> bool:
    return rate.day_rule is not None and rest >= rate.day_rule.from_hours * 60


def _days_only(case: Case, minutes: Decimal, cap: Decimal) -> tuple[Decimal, tuple[Step, ...]]:
    days = begun(minutes, A_DAY)
    steps = (
        *_begun(days, Decimal(A_DAY), "days", ""),
        times(cap, f"{case.currency.code}/day", "a day", "rules.late.daily_cap"),
    )
    return case.money(days * cap), steps


def _whole_days(days: Decimal) -> tuple[Step, ...]:
    return (minus(days * A_DAY, "min", f"{days} whole days"),) if days else ()


def _begun(count: Decimal, size: Decimal, unit: str, source: str) -> tuple[Step, ...]:
    """Minutes to blocks or days: what is begun counts whole."""
    return (
        Step(Sign.WHOLE, size, "min", "what is begun counts", source),
        equals(count * size, "min", "begun"),
        divided(size, "min", "each", source),
        equals(count, unit, "begun"),
    )


def _blocks(case: Case, rate: LateRate, count: Decimal) -> tuple[Step, ...]:
    return (
        *_begun(count, rate.block_min, "blocks", "rules.late.block_min"),
        times(rate.rate_per_block, f"{case.currency.code}/block", "a block", "rules.late.rate_per_block"),
    )


def _cap(case: Case, cap: Decimal) -> Step:
    return Step(Sign.AT_MOST, cap, case.currency.code, "never more in 24 hours", "rules.late.daily_cap")


def _next_booking(case: Case, rate: LateRate, late: list[Charge]) -> Iterator[Charge]:
    """What the displaced customer cost: only when agreed, with proof, and when lateness is charged at all."""
    displaced = case.rental.next_booking
    if not rate.next_booking_cost or displaced is None or not displaced.proof or not late or not displaced.cost:
        return
    step = start(displaced.cost, case.currency.code, displaced.proof, "rental.next_booking.cost")
    yield Charge("NEXT_BOOKING", "return", case.money(displaced.cost), (step,), "next customer displaced")


def _after_hours(case: Case, rate: LateRate, late: Lateness) -> Iterator[Charge]:
    if late.dropped_outside and rate.after_hours_fee:
        step = start(rate.after_hours_fee, case.currency.code, "drop outside the hours", "rules.late.after_hours_fee")
        yield Charge("AFTER_HOURS", "key drop", case.money(rate.after_hours_fee), (step,), "dropped outside the hours")
