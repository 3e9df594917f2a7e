"""What the rate card says about what is used up: fuel, exhaust fluid, gas and waste (section keys of `rules`)."""
# ruff: noqa: RUF009, FBT003 (key() makes a dataclass field, with its default)

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.intake import Impossible, Record, key, record
from handover.charges.document.kinds import above_zero, decimal, flag, map_of, one_of

MODES = ("threshold", "deductible", "instrument")
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongFuelRate(Record):
    """Wrong fuel in the tank: the drain fee, and whether the liability option is void for it."""

    path: str
    voids_cover: bool = key(flag, True)
    drain_fee: Decimal | None = key(decimal(), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ExhaustFluidRate(Record):
    """AUS 32 refilled because its warning came on: a fixed price or a price per litre."""

    path: str
    fixed: Decimal | None = key(decimal(), None)
    price_per_litre: Decimal | None = key(decimal(), None)

    def impossible(self) -> Impossible:
        if (self.fixed is None) == (self.price_per_litre is None):
            yield "fixed", "Either fixed or price_per_litre has to be here, one and not both."


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelRate(Record):
    """Fuel. Prices in currency per litre, tolerance in steps of the gauge (or litres for levels in litres)."""

    path: str
    policy: str = key(one_of("same_to_same", "full_to_full"), "same_to_same")
    target_when_out_below_full: str = key(one_of("full", "out_level"), "out_level")
    tolerance_steps: Decimal = key(decimal(), ZERO)
    tolerance_l: Decimal = key(decimal(), ZERO)
    tolerance_mode: str = key(one_of(*MODES), "threshold")
    price_per_litre: Decimal | None = key(decimal(), None)
    pump_price_per_litre: Decimal | None = key(decimal(), None)
    pump_price_factor: Decimal = key(decimal(), Decimal(1))
    litres_rounding: str = key(one_of("none", "up_to_whole", "0.1"), "none")
    min_charge: Decimal | None = key(decimal(), None)
    min_charge_includes_service_fee: bool = key(flag, False)
    service_fee: Decimal | None = key(decimal(), None)
    service_fee_per: str = key(one_of("leg", "rental"), "leg")
    service_fee_on_operator_swap: bool = key(flag, True)
    surplus: str = key(one_of("no_refund", "refund", "set_off"), "no_refund")
    surplus_price_per_litre: Decimal | None = key(decimal(), None)
    surplus_max_litres: Decimal | None = key(decimal(), None)
    measure: str = key(one_of("gauge", "pump"), "gauge")
    swap_leg_policy: str | None = key(one_of("settle_each_leg", "carry_litres", "waive_failed_leg"), None)
    wrong_fuel: WrongFuelRate | None = key(record(WrongFuelRate), None)
    aus32: ExhaustFluidRate | None = key(record(ExhaustFluidRate), None)

    def impossible(self) -> Impossible:
        if (self.price_per_litre is None) == (self.pump_price_per_litre is None):
            yield "price_per_litre", "Either price_per_litre or pump_price_per_litre has to be here, one and not both."


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatGas(Record):
    """Gas at a flat price; no weight counts."""

    path: str
    price: Decimal = key(decimal())
    per: str = key(one_of("night", "rental"), "rental")


@dataclass(frozen=True, slots=True, kw_only=True)
class GasRate(Record):
    """Gas. Weights in kg, thresholds in percent of the net content."""

    path: str
    policy: str = key(one_of("by_weight", "by_cylinder", "swap", "included"), "by_weight")
    price_per_kg: Decimal | None = key(decimal(), None)
    tolerance_kg: Decimal = key(decimal(), ZERO)
    tolerance_mode: str = key(one_of(*MODES), "threshold")
    service_fee: Decimal | None = key(decimal(), None)
    refill_price: Decimal | None = key(decimal(), None)
    refill_threshold_pct: Decimal | None = key(decimal(0, 100), None)
    cylinder_price: Decimal | None = key(decimal(), None)
    foreign_credit: Decimal = key(decimal(), ZERO)
    receipts: str = key(one_of("none", "operator_fault", "all"), "operator_fault")
    receipts_limit: Decimal | None = key(decimal(), None)
    flat_use: FlatGas | None = key(record(FlatGas), None)

    def impossible(self) -> Impossible:
        if self.flat_use is not None or self.policy == "included":
            return
        if self.policy == "by_weight" and self.price_per_kg is None:
            yield "price_per_kg", "Gas by weight needs a price per kg here."
        if self.policy != "by_weight" and self.refill_price is None:
            yield "refill_price", "Gas by the cylinder needs the price of one refill here."
        if self.policy == "by_cylinder" and self.refill_threshold_pct is None:
            yield "refill_threshold_pct", "Gas by the cylinder needs the percentage here below which one is refilled."


@dataclass(frozen=True, slots=True, kw_only=True)
class WasteRate(Record):
    """Fees for waste tanks left full, in percent of full, and for rubbish left behind."""

    path: str
    grey_fee: Decimal | None = key(decimal(), None)
    grey_threshold_pct: Decimal = key(decimal(0, 100), ZERO)
    toilet_fee: Decimal | None = key(decimal(), None)
    toilet_threshold_pct: Decimal = key(decimal(0, 100), ZERO)
    rubbish_bag_fee: Decimal | None = key(decimal(), None)


TIERS = ("none", "standard", "heavy", "specialist")


@dataclass(frozen=True, slots=True, kw_only=True)
class CleaningRate(Record):
    """Prices of one zone: fixed by tier, or by the hour where a tier has no price."""

    path: str
    standard: Decimal | None = key(decimal(), None)
    heavy: Decimal | None = key(decimal(), None)
    specialist: Decimal | None = key(decimal(), None)
    hour_rate: Decimal | None = key(decimal(), None)

    def of(self, tier: str) -> Decimal | None:
        prices: Mapping[str, Decimal | None] = {
            "standard": self.standard,
            "heavy": self.heavy,
            "specialist": self.specialist,
        }
        return prices.get(tier)


@dataclass(frozen=True, slots=True, kw_only=True)
class KitRate(Record):
    """A safety kit: charged whole once it is opened, or by the item with a fee for sealing it again."""

    path: str
    mode: str = key(one_of("whole_kit", "per_item"), "whole_kit")
    kit_price: Decimal | None = key(decimal(), None)
    items: Mapping[str, Decimal] = key(map_of(decimal()), {})
    reseal_fee: Decimal = key(decimal(), ZERO)
    accident_exempt: bool = key(flag, True)

    def impossible(self) -> Impossible:
        if self.mode == "whole_kit" and self.kit_price is None:
            yield "kit_price", "A kit charged whole needs its price here."


ABOVE_ZERO = above_zero()
