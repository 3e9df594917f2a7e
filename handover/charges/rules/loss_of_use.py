"""Loss of use: the days a unit stands for this repair, and for nothing else."""

from datetime import timedelta
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.damage_rates import LossOfUseRate
from handover.charges.document.findings import Event
from handover.charges.rules.lateness import lateness
from handover.charges.sheet import ZERO, Charge, Finding, Why
from handover.charges.workings import Sign, Step, minus, spoken, start, times


def loss_of_use(case: Case, rate: LossOfUseRate, event: Event) -> Charge | Finding | None:
    """LOSS_OF_USE for the event; None where it did not stand. Days of other work, and days already late, don't count.

    Late hours and loss of use are never both charged: a local date on which lateness is charged is left out.
    """
    if not event.off_road_days:
        return None
    if rate.proof == "utilisation" and not event.off_road_proof:
        sentence = "Not charged: no proof that the unit would have been out."
        return Finding("LOSS_OF_USE", event.id, Why.NOT_PROVEN, sentence)
    days, steps = _days(case, rate, event)
    unit = f"{case.currency.code}/day"
    steps = (*steps, times(rate.day_rate, unit, "a day", "rules.loss_of_use.day_rate"))
    if rate.factor != 1:
        steps = (*steps, times(rate.factor, "", "for running cost saved", "rules.loss_of_use.factor"))
    raw = case.money(days * rate.day_rate * rate.factor)
    if not raw:
        return Finding("LOSS_OF_USE", event.id, Why.ONE_FINDING_ONE_LINE, "No day counts for this repair alone.")
    return Charge("LOSS_OF_USE", event.id, raw, steps, f"{spoken(days)} days off the road", event.id)


def _days(case: Case, rate: LossOfUseRate, event: Event) -> tuple[Decimal, tuple[Step, ...]]:
    days = event.off_road_days
    steps: tuple[Step, ...] = (start(days, "days", "off the road", f"{event.path}.off_road_days"),)
    other, late = event.other_work_days, _late_days(case, event)
    if other:
        steps = (*steps, minus(min(other, days), "days", "other work", f"{event.path}.other_work_days"))
        days = max(ZERO, days - other)
    if late:
        steps = (*steps, minus(min(late, days), "days", "already charged as late", "rental.returned_at"))
        days = max(ZERO, days - late)
    if rate.max_days is not None and days > rate.max_days:
        steps = (*steps, Step(Sign.AT_MOST, rate.max_days, "days", "at most", "rules.loss_of_use.max_days"))
        days = rate.max_days
    return days, steps


def _late_days(case: Case, event: Event) -> Decimal:
    """Local dates off the road on which lateness is charged too."""
    rate = case.rules.late
    late = lateness(case, rate) if rate is not None and event.off_road_from is not None else None
    if rate is None or late is None or event.off_road_from is None or late.clocked.late <= rate.grace_min:
        return ZERO
    last = event.off_road_from + timedelta(days=int(event.off_road_days) - 1)
    first = max(event.off_road_from, late.due.local.date())
    return Decimal(max(0, (min(last, late.end.local.date()) - first).days + 1))
