"""What the rate card and the liability option say about damage and missing equipment (keys of `rules`)."""
# ruff: noqa: RUF009, FBT003 (key() makes a dataclass field, with its default)

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.intake import Record, key, record
from handover.charges.document.kinds import (
    Moment,
    decimal,
    flag,
    list_of,
    map_of,
    moment,
    one_of,
    optional,
    text,
    whole,
)

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentRate(Record):
    """Missing equipment: the least share of the price, and what happens when a thing turns up again."""

    path: str
    floor_pct: Decimal = key(decimal(0, 100), ZERO)
    found_within_days: int | None = key(whole(), None)
    handling_fee: Decimal = key(decimal(), ZERO)


@dataclass(frozen=True, slots=True, kw_only=True)
class SizePrice(Record):
    """A price of the repair matrix up to a size in millimetres; null for all beyond."""

    path: str
    up_to_mm: Decimal | None = key(optional(decimal()))
    price: Decimal = key(decimal())


@dataclass(frozen=True, slots=True, kw_only=True)
class ExcessOption(Record):
    """A liability option agreed for a time: another excess, exclusions taken back, or a group's own excess."""

    path: str
    excess: Decimal | None = key(decimal(), None)
    start: Moment | None = key(moment(fold=0), None, name="from")
    end: Moment | None = key(moment(fold=1), None, name="to")
    takes_back: tuple[str, ...] = key(list_of(text), ())
    own_excess: Mapping[str, Decimal] = key(map_of(decimal()), {})


@dataclass(frozen=True, slots=True, kw_only=True)
class DamageRate(Record):
    """Damage under the liability option. Sizes in millimetres.

    Without `excess` the repair is payable in full: no limit was agreed.
    """

    path: str
    excess: Decimal | None = key(decimal(), None)
    excess_per: str = key(one_of("event", "rental"), "event")
    options: tuple[ExcessOption, ...] = key(list_of(record(ExcessOption)), ())
    excluded: tuple[str, ...] = key(list_of(text), ())
    exclusion_scope: str = key(one_of("item_only", "whole_event"), "item_only")
    allocation: str = key(one_of("pro_rata", "in_order"), "pro_rata")
    fair_wear_max_mm: Mapping[str, Decimal] = key(map_of(decimal()), {})
    fair_wear_max_per_panel: Mapping[str, int] = key(map_of(whole()), {})
    pricing: str = key(one_of("estimate", "invoice", "matrix", "minimum_repair"), "estimate")
    matrix: Mapping[str, Mapping[str, tuple[SizePrice, ...]]] = key(map_of(map_of(list_of(record(SizePrice)))), {})
    second_tyre_on_axle: bool = key(flag, False)
    recovery: str = key(one_of("customer_first", "pro_rata"), "customer_first")


@dataclass(frozen=True, slots=True, kw_only=True)
class LossOfUseRate(Record):
    """Days off the road for a repair, at a part of the day's rate, under the excess or beside it."""

    path: str
    day_rate: Decimal = key(decimal())
    factor: Decimal = key(decimal(), Decimal(1))
    max_days: Decimal | None = key(decimal(), None)
    inside_excess: bool = key(flag, False)
    proof: str = key(one_of("none", "utilisation"), "none")


@dataclass(frozen=True, slots=True, kw_only=True)
class WaiverRate(Record):
    """Up to which amount each role may waive; null is without limit."""

    path: str
    limits: Mapping[str, Decimal | None] = key(
        map_of(optional(decimal())), {"host": Decimal(50), "shift lead": Decimal(200), "manager": None}
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LateFindingsRate(Record):
    """Up to how many hours after the return a finding may still be charged, as announced; null is not announced."""

    path: str
    cut_off_hours: Decimal | None = key(decimal(), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtrasRate(Record):
    """What happens to an extra bought after pickup, where the extra itself does not say."""

    path: str
    late_purchase: str = key(one_of("reject_and_refund", "from_now"), "reject_and_refund")
    fuel_tanks_order: str = key(one_of("highest_first", "in_time_order"), "highest_first")
