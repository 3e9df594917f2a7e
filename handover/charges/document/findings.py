"""What the return walk-round found besides the levels: soiling, waste, kits, counts, damage events."""
# ruff: noqa: RUF009, FBT003 (key() makes a dataclass field, with its default)

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from handover.charges.document.consumable_rates import TIERS
from handover.charges.document.intake import Impossible, Intake, Record, key, record
from handover.charges.document.kinds import (
    NOT_APPLICABLE,
    Moment,
    Reading,
    above_zero,
    day,
    decimal,
    flag,
    list_of,
    moment,
    one_of,
    optional,
    reading,
    text,
    whole,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Soiling(Record):
    """How one zone came back: its tier, the hours spent, and the cause if it matters (smoke, pets, powder)."""

    path: str
    tier: str = key(one_of(*TIERS))
    hours: Decimal | None = key(decimal(), None)
    cause: str | None = key(text, None)


def soiling(value: object, path: str, intake: Intake) -> Soiling | None:
    """A tier by its name, or an object with tier, hours and cause; null is not inspected."""
    if value is None:
        return None
    if isinstance(value, str):
        return Soiling(path=path, tier=one_of(*TIERS)(value, path, intake))
    return record(Soiling)(value, path, intake)


@dataclass(frozen=True, slots=True, kw_only=True)
class Waste(Record):
    """Levels of the waste tanks in percent; `_out` at pickup, empty where nobody says."""

    path: str
    grey_pct: Reading = key(reading(decimal(0, 100)), NOT_APPLICABLE)
    toilet_pct: Reading = key(reading(decimal(0, 100)), NOT_APPLICABLE)
    grey_out_pct: Reading = key(reading(decimal(0, 100)), Decimal(0))
    toilet_out_pct: Reading = key(reading(decimal(0, 100)), Decimal(0))
    toilet_rinsed: bool = key(flag, True)
    fresh_pct: Reading = key(reading(decimal(0, 100)), NOT_APPLICABLE)
    rubbish_bags: int = key(whole(), 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit(Record):
    """A safety kit at return. `gauge_*` is an extinguisher's; null anywhere is not looked at."""

    path: str
    kit: str = key(text)
    seal_intact: bool | None = key(optional(flag), True)
    seal_out: str | None = key(optional(text), "")
    seal_in: str | None = key(optional(text), "")
    missing: tuple[str, ...] = key(list_of(text), ())
    gauge_out: str | None = key(optional(one_of("green", "out_of_green")), "")
    gauge_in: str | None = key(optional(one_of("green", "out_of_green")), "")
    pin_pulled: bool = key(flag, False)
    injury_report: bool = key(flag, False)
    fire_report: bool = key(flag, False)
    expired_at_pickup: bool = key(flag, False)


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingItem(Record):
    """Equipment that did not come back, or came back broken. Ages in months, prices for one."""

    path: str
    item: str = key(text)
    qty: int = key(whole(), 1)
    qty_out: Reading = key(reading(whole()), NOT_APPLICABLE)
    price: Decimal | None = key(decimal(), None)
    age_months: Decimal | None = key(decimal(), None)
    life_months: Decimal | None = key(above_zero(), None)
    betterment: bool = key(flag, True)
    kind: str | None = key(one_of("key", "papers", "cylinder", "other"), None)
    repair: Decimal | None = key(decimal(), None)
    labour: Decimal | None = key(decimal(), None)
    set_price: Decimal | None = key(decimal(), None)
    part_price: Decimal | None = key(decimal(), None)
    lock_change: Decimal | None = key(decimal(), None)
    lost_with_address: bool = key(flag, False)
    returned_after_days: int | None = key(whole(), None)
    finding: str | None = key(text, None)

    def impossible(self) -> Impossible:
        if self.price is None and self.set_price is None:
            yield "price", "A missing thing needs its price here, or the price of its set in set_price."
        if isinstance(self.qty_out, int) and self.qty > self.qty_out:
            yield "qty", f"{self.qty} cannot be missing of the {self.qty_out} handed over; {self.qty_out} or fewer can."


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownMark(Record):
    """A mark that was on the unit at pickup."""

    path: str
    part: str = key(text)
    kind: str = key(text)
    size_mm: Decimal = key(decimal())


@dataclass(frozen=True, slots=True, kw_only=True)
class DamageItem(Record):
    """One damaged part. Sizes in millimetres; a tyre's treads give its betterment.

    `ref` names the line where the part alone would not: two marks on one door are two lines.
    `moved_first`: nobody photographed it before the unit was moved, and what the branch decided of it.
    `excluded` true or false decides by itself; absent, the rate card's exclusions decide.
    """

    path: str
    part: str = key(text)
    ref: str | None = key(text, None)
    group: str | None = key(text, None)
    repair: Decimal | None = key(decimal(), None)
    estimate: Decimal | None = key(decimal(), None)
    invoice: Decimal | None = key(decimal(), None)
    kind: str | None = key(text, None)
    size_mm: Reading = key(reading(decimal()), NOT_APPLICABLE)
    panel: str | None = key(text, None)
    through_paint: bool = key(flag, False)
    excluded: bool | None = key(flag, None)
    pre_existing: bool = key(flag, False)
    known_size_mm: Decimal | None = key(decimal(), None)
    inspected_at_pickup: bool = key(flag, True)
    tread_now_mm: Decimal | None = key(decimal(), None)
    tread_new_mm: Decimal | None = key(above_zero(), None)
    tread_min_mm: Decimal | None = key(decimal(), None)
    second_on_axle: bool = key(flag, False)
    stain_zone: str | None = key(text, None)
    finding: str | None = key(text, None)
    moved_first: str | None = key(one_of("undecided", "charged", "dropped"), None)

    @property
    def name(self) -> str:
        return self.ref or self.part

    def impossible(self) -> Impossible:
        treads = (self.tread_now_mm, self.tread_new_mm, self.tread_min_mm)
        now, new, least = treads
        if now is None and new is None and least is None:
            return
        if now is None or new is None or least is None:
            yield "tread_now_mm", "A tyre needs all three: tread_now_mm, tread_new_mm and tread_min_mm."
        elif new <= least:
            yield "tread_new_mm", f"A new tread of {new} mm is not above the least of {least} mm; swap the two."
        elif now > new:
            yield "tread_now_mm", f"{now} mm is more than the {new} mm of a new tyre, which cannot be; swap the two."


@dataclass(frozen=True, slots=True, kw_only=True)
class Event(Record):
    """What happened once: one cause, one excess. Staff who split what looks like one event say why."""

    path: str
    id: str = key(text)
    cause: str | None = key(text, None)
    at: Moment | None = key(moment(fold=1), None)
    place: str | None = key(text, None)
    side: str | None = key(text, None)
    unit: str | None = key(text, None)
    items: tuple[DamageItem, ...] = key(list_of(record(DamageItem)), ())
    off_road_days: Decimal = key(decimal(), Decimal(0))
    off_road_from: date | None = key(day, None)
    other_work_days: Decimal = key(decimal(), Decimal(0))
    off_road_proof: str | None = key(text, None)
    recovered: Decimal | None = key(decimal(), None)
    split_reason: str | None = key(text, None)
