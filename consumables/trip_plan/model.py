"""What a plan is made of, and what it says."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from consumables.battery import Chemistry, Load
from consumables.lpg import Content, GasLoad
from consumables.said import Said
from consumables.trip_plan.practice import Practice
from consumables.water import Habit


@dataclass(frozen=True, slots=True)
class Battery:
    """`percent` is the state at the start, its cautious end; chargers in amperes at 12 V, 0 where there is none."""

    chemistry: Chemistry
    capacity_ah: Decimal
    percent: Decimal
    charger_a: Decimal = Decimal(0)
    drive_a: Decimal = Decimal(0)
    solar_w: Decimal = Decimal(0)
    loads: tuple[Load, ...] = ()


@dataclass(frozen=True, slots=True)
class Tanks:
    """Sizes, and what is in them at the start."""

    fresh_l: Decimal
    waste_l: Decimal
    cassette_l: Decimal
    fresh_now_l: Decimal
    waste_now_l: Decimal = Decimal(0)
    cassette_now_l: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Gas:
    contents: tuple[Content, ...]
    loads: tuple[GasLoad, ...] = ()


@dataclass(frozen=True, slots=True)
class UnitStores:
    """What a unit carries to live on. None for what it has not, or what nobody has entered."""

    battery: Battery | None
    tanks: Tanks | None
    gas: Gas | None


@dataclass(frozen=True, slots=True)
class Party:
    """`drive_h`: hours driven on a usual day of the trip, which charge the battery."""

    people: int
    habit: Habit
    drive_h: Decimal


@dataclass(frozen=True, slots=True)
class Stop:
    """One night. mains, water and waste (a dump point): True there, False not, None where the place is still open.

    Degrees, north and east positive; None where no place is known, and then no sun is counted on.
    """

    day: date
    place: str = ""
    latitude: Decimal | None = None
    longitude: Decimal | None = None
    mains: bool | None = None
    water: bool | None = None
    waste: bool | None = None
    frost: bool = False


class Power(StrEnum):
    PLUG_IN = "plug_in"  # or it will not last to the next mains
    MAINS_THERE = "mains_there"  # would last without
    LASTS = "lasts"
    DRIVE = "drive"  # some more driving and it lasts
    SHORT = "short"


@dataclass(frozen=True, slots=True)
class PowerNight:
    """Percent in the evening and next morning; `more_drive_h` hours of driving beyond the usual, where those help."""

    advice: Power
    evening_pct: Decimal
    morning_pct: Decimal
    more_drive_h: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class WaterNight:
    """Litres in the evening, after `fill_l` and emptying. `dry`: too little for a day more; `full`: no room."""

    fresh_l: Decimal
    waste_l: Decimal
    cassette_l: Decimal
    fill_l: Decimal = Decimal(0)
    empty_waste: bool = False
    empty_cassette: bool = False
    dry: bool = False
    full: bool = False


@dataclass(frozen=True, slots=True)
class GasNight:
    """What is left next morning, and the least of it with the doubt of the scale; `short` when that may be none."""

    left_kg: Decimal
    least_kg: Decimal
    short: bool = False


@dataclass(frozen=True, slots=True)
class NightPlan:
    stop: Stop
    power: PowerNight | None
    water: WaterNight | None
    gas: GasNight | None


@dataclass(frozen=True, slots=True)
class TripPlan:
    """`basis` says what the figures rest on; `cautions` what they must not be taken for."""

    nights: tuple[NightPlan, ...]
    practices: tuple[Practice, ...]
    basis: tuple[Said, ...]
    cautions: tuple[Said, ...]
