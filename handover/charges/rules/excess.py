"""What of an event the customer pays: the excess over what is covered, what is excluded in full."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from handover.charges.allocation import in_order, pro_rata
from handover.charges.document.case import Case
from handover.charges.document.damage_rates import DamageRate, ExcessOption
from handover.charges.document.findings import DamageItem, Event
from handover.charges.document.kinds import Moment
from handover.charges.extra_standing import Standing, standing_extras
from handover.charges.rules.wrong_fuel import WRONG_FUEL
from handover.charges.sheet import ZERO, Charge, CoverPart

CONTAMINATED_WATER = "contaminated water"


@dataclass(frozen=True, slots=True)
class Liability:
    """The liability option as it stood at one event: its excess, its exclusions, its groups' own excesses."""

    excess: Decimal | None
    takes_back: frozenset[str]
    own_excess: dict[str, Decimal]


def liability(case: Case, rate: DamageRate, event: Event) -> Liability:
    """Only options that ran when it happened; an event of unknown time has every one, in the customer's favour.

    Of several, the lowest excess counts.
    """
    running = [option for option in _options(case, rate) if _runs(option, event.at)]
    excesses = [one for one in (rate.excess, *(option.excess for option in running)) if one is not None]
    own: dict[str, Decimal] = {}
    for option in running:
        for group, excess in option.own_excess.items():
            own[group] = min(excess, own.get(group, excess))
    back = frozenset(group for option in running for group in option.takes_back)
    return Liability(min(excesses) if excesses else None, back, own)


def _options(case: Case, rate: DamageRate) -> Iterator[ExcessOption]:
    yield from rate.options
    for extra, how in standing_extras(case):
        if extra.excess is not None:
            late = how is Standing.FROM_NOW and extra.excess.start is None
            yield replace(extra.excess, start=extra.purchased_at) if late else extra.excess


def _runs(option: ExcessOption, at: Moment | None) -> bool:
    if at is None:
        return True
    begun = option.start is None or option.start.utc <= at.utc
    return begun and (option.end is None or at.utc <= option.end.utc)


def is_excluded(case: Case, rate: DamageRate, event: Event, item: DamageItem, option: Liability) -> bool:
    """Excluded by its own mark, its part, its group or the event's cause, unless an option takes it back."""
    names = {item.part, item.group, event.cause}
    if names & (option.takes_back | option.own_excess.keys()):
        return False
    if item.excluded is not None:
        return item.excluded
    return bool(names & set(rate.excluded)) or _void(case, event)


def _void(case: Case, event: Event) -> bool:
    """Wrong fuel and contaminated water void the option by themselves, wrong fuel unless agreed otherwise."""
    fuel = case.rules.fuel
    if event.cause == WRONG_FUEL:
        return fuel is None or fuel.wrong_fuel is None or fuel.wrong_fuel.voids_cover
    return event.cause == CONTAMINATED_WATER


def own_group(item: DamageItem, option: Liability) -> str | None:
    """The group with an excess of its own that an item belongs to."""
    return next((name for name in (item.group, item.part) if name in option.own_excess), None)


def held_to(case: Case, rate: DamageRate, charges: list[Charge], excess: Decimal | None, source: str) -> list[Charge]:
    """The charges covered above an excess that they share; the shares add up to it to the cent."""
    total = sum((charge.raw for charge in charges), ZERO)
    limit = None if excess is None else case.money(excess)
    if limit is None or total <= limit:
        return charges
    raws = [charge.raw for charge in charges]
    by_order = rate.allocation == "in_order"
    shares = in_order(raws, limit) if by_order else pro_rata(raws, limit, case.currency.exponent)
    label = f"liability option: above the excess of {limit}"
    label = label if len(charges) == 1 else f"{label} shared by {total}"
    return [
        charge.covered_by(CoverPart("liability option", charge.raw - share, label, source))
        for charge, share in zip(charges, shares, strict=True)
    ]
