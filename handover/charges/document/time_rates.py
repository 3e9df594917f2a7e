"""What the rate card says about time, distance and notices (keys of `rules`)."""
# ruff: noqa: RUF009, FBT003 (key() makes a dataclass field, with its default)

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from itertools import pairwise

from handover.charges.document.intake import Impossible, Intake, Record, RefusedError, key, record
from handover.charges.document.kinds import (
    above_zero,
    clock_time,
    day,
    decimal,
    flag,
    list_of,
    map_of,
    one_of,
    optional,
    whole,
)

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
ZERO = Decimal(0)


def opening(value: object, path: str, intake: Intake) -> tuple[time, ...]:
    """Opening and closing times in turn; none on a closed day."""
    times: tuple[time, ...] = () if value is None else list_of(clock_time)(value, path, intake)
    if len(times) % 2 or any(later <= earlier for earlier, later in pairwise(times)):
        raise RefusedError('Opening hours come in pairs, each time later than the one before, like ["08:30", "17:00"].')
    return times


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRule(Record):
    """From so many hours of lateness on, one full day is charged instead of blocks."""

    path: str
    from_hours: Decimal = key(above_zero())
    rate: Decimal = key(decimal())
    factor: Decimal = key(decimal(), Decimal(1))


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlyReturn(Record):
    """What comes back for each whole day not used: a part of the day's price."""

    path: str
    day_rate: Decimal = key(decimal())
    refund_pct: Decimal = key(decimal(0, 100))


@dataclass(frozen=True, slots=True, kw_only=True)
class LateRate(Record):
    """Late return. Minutes; caps and rates in currency.

    `count_from` is the end of grace, `charge_closed_days` is false and `clock` is elapsed where the rate card is
    silent: the two former are the readings in the customer's favour.
    """

    path: str
    grace_min: Decimal = key(decimal(), ZERO)
    count_from: str = key(one_of("scheduled", "end_of_grace"), "end_of_grace")
    block_min: Decimal = key(above_zero(), Decimal(60))
    rate_per_block: Decimal = key(decimal(), ZERO)
    daily_cap: Decimal | None = key(decimal(), None)
    day_rule: DayRule | None = key(record(DayRule), None)
    clock: str = key(one_of("elapsed", "wall", "lower_of_both"), "elapsed")
    after_hours: str = key(one_of("actual_drop", "deemed_next_opening"), "actual_drop")
    after_hours_fee: Decimal | None = key(decimal(), None)
    opening_hours: Mapping[str, tuple[time, ...]] | None = key(map_of(opening, one_of(*WEEKDAYS)), None)
    closed_dates: tuple[date, ...] = key(list_of(day), ())
    charge_closed_days: bool = key(flag, False)
    deemed_for: str = key(one_of("risk", "risk_and_lateness"), "risk_and_lateness")
    next_booking_cost: bool = key(flag, False)
    early_return: EarlyReturn | None = key(record(EarlyReturn), None)

    def impossible(self) -> Impossible:
        if self.after_hours == "deemed_next_opening" and not any((self.opening_hours or {}).values()):
            yield "opening_hours", "A return deemed at the next opening needs opening hours here, on one day at least."


@dataclass(frozen=True, slots=True, kw_only=True)
class DistanceTier(Record):
    """A rate up to so much distance over the allowance; null for all beyond."""

    path: str
    up_to: Decimal | None = key(optional(above_zero()))
    rate: Decimal = key(decimal())


@dataclass(frozen=True, slots=True, kw_only=True)
class DistanceRate(Record):
    """Extra distance, in `unit`. `included_per_day` null is unlimited."""

    path: str
    unit: str = key(one_of("km", "mi"), "km")
    included_per_day: Decimal | None = key(optional(decimal()))
    pooled: bool = key(flag, True)
    charged_days_basis: str | None = key(one_of("24h", "calendar_days", "nights"), None)
    tiers: tuple[DistanceTier, ...] = key(list_of(record(DistanceTier)))
    tier_mode: str = key(one_of("marginal", "whole_amount"), "marginal")
    tolerance: Decimal = key(decimal(), ZERO)
    min_charge: Decimal | None = key(decimal(), None)

    def impossible(self) -> Impossible:
        ends = [tier.up_to for tier in self.tiers]
        if not ends or ends[-1] is not None or None in ends[:-1]:
            yield "tiers", "The last tier, and no other, ends with up_to null, so that every distance has a rate."
            return
        finite = [end for end in ends if end is not None]
        if finite != sorted(set(finite)):
            yield "tiers", "Each tier has to reach further than the one before it."


@dataclass(frozen=True, slots=True, kw_only=True)
class AdminRate(Record):
    """Handling fees: per damage event (fixed, or a part of what is payable), per fine and per toll."""

    path: str
    per_damage_event: Decimal | None = key(decimal(), None)
    damage_pct: Decimal | None = key(decimal(0, 100), None)
    damage_min: Decimal | None = key(decimal(), None)
    damage_max: Decimal | None = key(decimal(), None)
    per_fine: Decimal | None = key(decimal(), None)
    toll_min: Decimal | None = key(decimal(), None)
    toll_pct: Decimal = key(decimal(0, 100), ZERO)
    toll_fee_per: str = key(one_of("passage", "day", "rental"), "passage")
    notice_window_months: int | None = key(whole(), None)

    def impossible(self) -> Impossible:
        if self.per_damage_event is not None and self.damage_pct is not None:
            yield "damage_pct", "Either per_damage_event or damage_pct can be here, not both."
        if None not in (self.damage_min, self.damage_max) and (self.damage_min or 0) > (self.damage_max or 0):
            yield "damage_max", "damage_max is below damage_min, which cannot be; the two may be swapped."
