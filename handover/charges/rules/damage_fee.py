"""The handling fee of a damage event."""

from collections.abc import Iterator
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.findings import Event
from handover.charges.sheet import ZERO, Charge
from handover.charges.workings import Sign, Step, divided, start, times


def handling_fee(case: Case, event: Event, charges: list[Charge]) -> Iterator[Charge]:
    """Once per event, and only if something is payable: fixed, or a part of the payable with its bounds."""
    admin, unit = case.rules.admin, case.currency.code
    payable = sum((charge.due for charge in charges), ZERO)
    if not payable:
        return
    if admin.per_damage_event:
        step = start(admin.per_damage_event, unit, "handling", "rules.admin.per_damage_event")
        yield Charge("ADMIN", event.id, case.money(admin.per_damage_event), (step,), "handling", event.id)
    elif admin.damage_pct:
        raw, steps = _admin_part(case, payable, admin.damage_pct)
        yield Charge("ADMIN", event.id, raw, steps, "handling", event.id)


def _admin_part(case: Case, payable: Decimal, pct: Decimal) -> tuple[Decimal, tuple[Step, ...]]:
    admin, unit = case.rules.admin, case.currency.code
    part = payable * pct / 100
    steps = [
        start(payable, unit, "payable for this event"),
        times(pct, "%", "handling", "rules.admin.damage_pct"),
        divided(Decimal(100), "", "per cent"),
    ]
    if admin.damage_min is not None and part < admin.damage_min:
        part = admin.damage_min
        steps.append(Step(Sign.AT_LEAST, part, unit, "least", "rules.admin.damage_min"))
    if admin.damage_max is not None and part > admin.damage_max:
        part = admin.damage_max
        steps.append(Step(Sign.AT_MOST, part, unit, "most", "rules.admin.damage_max"))
    return case.money(part), tuple(steps)
