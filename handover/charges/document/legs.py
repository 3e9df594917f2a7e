"""What was read at both ends of each leg: fuel, exhaust fluid, gas, distance."""
# ruff: noqa: RUF009, FBT003 (key() makes a dataclass field, with its default)

from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.intake import Impossible, Record, key, record
from handover.charges.document.kinds import (
    NOT_APPLICABLE,
    Reading,
    above_zero,
    decimal,
    flag,
    list_of,
    one_of,
    reading,
    text,
    whole,
)

LIKELY_SWAPPED = "The readings of pickup and return may be swapped, or a digit is wrong."
SCALE_DOUBT = Decimal("0.2")
OVERFILL = Decimal("0.3")


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelReadings(Record):
    """Levels in steps of the gauge (`out`, `in`) or in litres (`out_l`, `in_l`), each with its half-width of reading.

    null is not read; an absent key is not applicable. A gauge's half-width is half a step unless stated.
    """

    path: str
    tank_l: Decimal | None = key(above_zero("The usable litres of this unit belong here."), None)
    steps: Decimal | None = key(above_zero(), None)
    out: Reading = key(reading(decimal()), NOT_APPLICABLE)
    back: Reading = key(reading(decimal()), NOT_APPLICABLE, name="in")
    out_l: Reading = key(reading(decimal()), NOT_APPLICABLE)
    back_l: Reading = key(reading(decimal()), NOT_APPLICABLE, name="in_l")
    half_width_out: Decimal = key(decimal(), Decimal("0.5"))
    half_width_in: Decimal = key(decimal(), Decimal("0.5"))
    half_width_out_l: Decimal | None = key(decimal(), None)
    half_width_in_l: Decimal | None = key(decimal(), None)
    ignition_off_out: bool = key(flag, False)
    ignition_off_in: bool = key(flag, False)
    pump_litres: Decimal | None = key(decimal(), None)
    refill_mentioned: bool = key(flag, False)
    wrong_fuel: bool = key(flag, False)

    @property
    def in_litres(self) -> bool:
        return self.out_l is not NOT_APPLICABLE or self.back_l is not NOT_APPLICABLE

    def impossible(self) -> Impossible:
        in_steps = self.out is not NOT_APPLICABLE or self.back is not NOT_APPLICABLE
        if in_steps and self.in_litres:
            yield "out_l", "A level is either in steps or in litres; both are here. Leave out one pair."
        if in_steps and (self.tank_l is None or self.steps is None):
            yield "tank_l", "Steps of a gauge say nothing without tank_l and steps of this unit."
        if self.in_litres and self.tank_l is None:
            yield "tank_l", "A level in litres needs the usable litres of this unit's tank beside it."
        yield from self._above_the_tank()

    def _above_the_tank(self) -> Impossible:
        for name, level, top, unit, hint in (
            ("out", self.out, self.steps, "steps of this gauge", "Litres may have been typed; they go into out_l."),
            ("in", self.back, self.steps, "steps of this gauge", "Litres may have been typed; they go into in_l."),
            ("out_l", self.out_l, self.tank_l, "litres of this tank", "It may be in gallons or of another unit."),
            ("in_l", self.back_l, self.tank_l, "litres of this tank", "It may be in gallons or of another unit."),
        ):
            if isinstance(level, Decimal) and top is not None and level > top:
                yield name, f"{level} is above the {top} {unit}, which cannot be; 0 to {top} can. {hint}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ExhaustFluidReadings(Record):
    """Whether the AUS 32 warning was on, at both ends, and the litres the branch filled in."""

    path: str
    warning_out: bool | None = key(flag, None)
    warning_in: bool | None = key(flag, None)
    litres: Decimal | None = key(decimal(), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder(Record):
    """One gas cylinder, gross weights in kg; content is gross less tare."""

    path: str
    id: str = key(text)
    tare_kg: Decimal | None = key(decimal(), None)
    net_kg: Decimal | None = key(above_zero(), None)
    gross_out_kg: Reading = key(reading(decimal()), NOT_APPLICABLE)
    gross_in_kg: Reading = key(reading(decimal()), NOT_APPLICABLE)
    half_width_out_kg: Decimal | None = key(decimal(), None)
    half_width_in_kg: Decimal | None = key(decimal(), None)
    serial_out: str | None = key(text, None)
    serial_in: str | None = key(text, None)
    tare_in_kg: Decimal | None = key(decimal(), None)
    net_in_kg: Decimal | None = key(above_zero(), None)
    missing: bool = key(flag, False)
    foreign_cylinder: bool = key(flag, False)

    @property
    def exchanged(self) -> bool:
        return None not in (self.serial_out, self.serial_in) and self.serial_out != self.serial_in

    @property
    def tare_back(self) -> Decimal | None:
        """The tare of the cylinder brought back: its own where another came back, unknown if nobody noted it."""
        return self.tare_in_kg if self.tare_in_kg is not None or self.exchanged else self.tare_kg

    def impossible(self) -> Impossible:
        yield from _implausible("gross_out_kg", self.gross_out_kg, self.tare_kg, self.net_kg)
        if not (self.missing or self.foreign_cylinder):
            yield from _implausible("gross_in_kg", self.gross_in_kg, self.tare_back, self.net_in_kg or self.net_kg)


def _implausible(name: str, gross: Reading, tare: Decimal | None, net: Decimal | None) -> Impossible:
    if not isinstance(gross, Decimal) or tare is None:
        return
    content = gross - tare
    if content < -SCALE_DOUBT:
        yield (
            name,
            f"{gross} kg gross is below the tare of {tare} kg, which cannot be; the content may have been typed.",
        )
    if net is not None and content > net + OVERFILL:
        yield (
            name,
            f"{gross} kg gross less {tare} kg tare is {content} kg, more than the {net} kg this cylinder holds; "
            f"{tare + net} kg gross is full. It may be another cylinder, or weighed with its regulator.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg(Record):
    """One unit of the rental, from when it was handed over to when it came back or was swapped.

    `swap_cause` says why a leg ended before the rental did; the operator's cause where nobody says.
    """

    path: str
    unit: str = key(text)
    fuel: FuelReadings | None = key(record(FuelReadings), None)
    aus32: ExhaustFluidReadings | None = key(record(ExhaustFluidReadings), None)
    gas: tuple[Cylinder, ...] = key(list_of(record(Cylinder)), ())
    odo_out: int | None = key(whole(), None)
    odo_in: int | None = key(whole(), None)
    odo_unit: str | None = key(one_of("km", "mi"), None)
    agreed_distance: Decimal | None = key(decimal(), None)
    daily_distance: tuple[Decimal, ...] = key(list_of(decimal()), ())
    swap_cause: str = key(one_of("operator", "customer"), "operator")

    def impossible(self) -> Impossible:
        if self.odo_out is not None and self.odo_in is not None and self.odo_in < self.odo_out:
            yield (
                "odo_in",
                f"{self.odo_in} is lower than {self.odo_out} at pickup, which cannot be; {self.odo_out} or more can. "
                f"{LIKELY_SWAPPED}",
            )
