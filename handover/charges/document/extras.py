"""The extras that the customer prepaid, and what each covers."""
# ruff: noqa: RUF009, FBT003 (key() makes a dataclass field, with its default)

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.consumable_rates import TIERS
from handover.charges.document.damage_rates import ExcessOption
from handover.charges.document.intake import Impossible, Record, key, record
from handover.charges.document.kinds import (
    Moment,
    decimal,
    flag,
    list_of,
    map_of,
    moment,
    one_of,
    text,
    whole,
)

ZONES = ("interior", "exterior", "upholstery", "odour")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits(Record):
    """What an extra covers, each part with its own limit. What is not listed is not covered."""

    path: str
    fuel_tanks: int | None = key(whole(), None)
    fuel_litres: Decimal | None = key(decimal(), None)
    gas_cylinders: int | None = key(whole(), None)
    gas_kg: Decimal | None = key(decimal(), None)
    late_minutes: Decimal | None = key(decimal(), None)
    late_blocks: int | None = key(whole(), None)
    after_hours: bool = key(flag, False)
    grey: bool = key(flag, False)
    toilet: bool = key(flag, False)
    kits: tuple[str, ...] = key(list_of(text), ())
    distance_km: Decimal | None = key(decimal(), None)
    distance_mi: Decimal | None = key(decimal(), None)

    def impossible(self) -> Impossible:
        if self.late_minutes is not None and self.late_blocks is not None:
            yield "late_blocks", "Either late_minutes or late_blocks can be here, not both."


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra(Record):
    """One extra as sold: its words, when it was bought, its price, its cover.

    `cleaning_causes` names causes (smoke, pets) that the cleaning cover includes beyond the tier heavy.
    """

    path: str
    name: str = key(text)
    purchased_at: Moment | None = key(moment(fold=0), None)
    price: Decimal | None = key(decimal(), None)
    limits: Limits = key(record(Limits), Limits(path=""))
    cleaning_up_to: Mapping[str, str] = key(map_of(one_of(*TIERS[1:]), one_of(*ZONES)), {})
    cleaning_causes: tuple[str, ...] = key(list_of(text), ())
    excess: ExcessOption | None = key(record(ExcessOption), None)
    fee_waiver: str = key(one_of("full", "any"), "full")
    late_purchase: str | None = key(one_of("reject_and_refund", "from_now"), None)
    unused_by_operator: bool = key(flag, False)
