"""What a unit carries to live on: its layout's stores, what differs in the unit, and what was read at the pickup."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from consumables import lpg
from consumables.battery import CannotTell, Chemistry, Measured, StateOfCharge, state_of_charge, usable_share
from consumables.battery import Load as BatteryLoad
from consumables.said import Said
from consumables.said import say as _
from consumables.trip_plan import Battery, Gas, Tanks, UnitStores
from fleet.models import Instrument, LayoutStores, Load, UnitInstrument
from fleet.models import UnitStores as Differs
from handover.cabcard.models import PlannedParty
from handover.walkround.models import Reading
from shared.units import quantity

FULL, NOTHING = Decimal(100), Decimal(0)
Measures = Instrument.Measures


@dataclass(frozen=True, slots=True)
class Entered:
    """What the database has of one unit. `readings` are the pickup's latest, by instrument."""

    layout: LayoutStores | None
    differs: Differs | None
    loads: Sequence[Load]
    instruments: Sequence[Instrument]
    overrides: Mapping[int | Any, UnitInstrument]
    readings: Mapping[Any, Reading]
    party: PlannedParty | None


@dataclass(frozen=True, slots=True)
class Carried:
    """`charge` is None without a battery; `notes` say what is assumed or cannot be told, `stops` what must not go."""

    stores: UnitStores
    charge: StateOfCharge | CannotTell | None
    gas_kind: lpg.GasKind
    cylinders: tuple[lpg.Cylinder, ...]
    notes: tuple[Said, ...]
    stops: tuple[Said, ...]


def carried(entered: Entered) -> Carried:
    battery, charge = _battery(entered)
    weighed = [_weighed(entered, item) for item in entered.instruments if item.measures == Measures.GAS]
    found = [each for each in weighed if isinstance(each, tuple)]
    stores = UnitStores(battery, _tanks(entered), _gas(entered, found))
    stops = [each for each in weighed if isinstance(each, Said)] + [_too_full(*each) for each in found]
    return Carried(
        stores, charge, _kind(entered), tuple(cylinder for cylinder, _content in found),
        tuple(_notes(entered, charge)), tuple(each for each in stops if each),
    )  # fmt: skip


def _notes(entered: Entered, charge: StateOfCharge | CannotTell | None) -> Iterator[Said]:
    if isinstance(charge, CannotTell):
        yield charge.sentence
    elif charge and charge.table:
        yield _("Battery by rest voltage, %(table)s: %(low)s to %(high)s %%.",
                table=Said(charge.table), low=str(charge.low), high=str(charge.high))  # fmt: skip
    if not entered.readings:
        yield _("Nothing is read yet: reckoned as the yard fills up.")


def _battery(entered: Entered) -> tuple[Battery | None, StateOfCharge | CannotTell | None]:
    chemistry = _given(entered, "battery_chemistry")
    capacity = _given(entered, "battery_ah")
    if not chemistry or not capacity:
        return None, None
    kind = Chemistry(chemistry)
    charge = state_of_charge(measured(entered), kind)
    # What cannot be told is planned as if only the reserve were left: the first night then asks for mains.
    percent = charge.low if isinstance(charge, StateOfCharge) else FULL * (1 - usable_share(kind))
    battery = Battery(
        chemistry=kind, capacity_ah=capacity, percent=percent,
        charger_a=_given(entered, "charger_a") or NOTHING, drive_a=_given(entered, "drive_charger_a") or NOTHING,
        solar_w=Decimal(_given(entered, "solar_w") or 0),
        loads=tuple(_battery_load(load) for load in entered.loads if load.draws == "battery"),
    )  # fmt: skip
    return battery, charge


def _given(entered: Entered, field: str) -> Any:
    """The unit's own value where it has one, else the layout's."""
    own = getattr(entered.differs, field, None)
    return own if own not in {None, ""} else getattr(entered.layout, field, None)


def measured(entered: Entered) -> Measured:
    """The display's percentage, or the voltage that was read or typed. Nothing read at all: full, as the yard does."""
    reading = _read(entered, Measures.HOUSE_BATTERY)
    if reading is not None and reading.item.unit == "%":
        return Measured(shunt=quantity(reading.value or NOTHING, "%"))
    party, volts = entered.party, reading.value if reading else None
    if volts is None and party is not None:
        volts = party.volts
    if volts is None:
        return Measured(shunt=quantity(FULL, "%")) if reading is None else Measured()
    return Measured(
        volts=quantity(volts, "V"),
        rested=quantity(party.rested_h, "h") if party and party.rested_h is not None else None,
        charging=bool(party and party.charging),
        temperature=quantity(party.celsius, "degC") if party and party.celsius is not None else None,
    )


def _read(entered: Entered, measures: str) -> Reading | None:
    found = (reading for reading in entered.readings.values() if reading.item.measures == measures)
    return next((reading for reading in found if reading.value is not None), None)


def _battery_load(load: Load) -> BatteryLoad:
    return BatteryLoad(load.name, load.amount, load.hours, load.hours_each, in_frost=load.in_frost)


def _tanks(entered: Entered) -> Tanks | None:
    sizes = entered.layout
    if sizes is None or sizes.fresh_l is None or sizes.waste_l is None or sizes.cassette_l is None:
        return None
    return Tanks(
        sizes.fresh_l, sizes.waste_l, sizes.cassette_l,
        fresh_now_l=_level(entered, Measures.FRESH_WATER, sizes.fresh_l, FULL),
        waste_now_l=_level(entered, Measures.WASTE_WATER, sizes.waste_l, NOTHING),
        cassette_now_l=_level(entered, Measures.CASSETTE, sizes.cassette_l, NOTHING),
    )  # fmt: skip


def _level(entered: Entered, measures: str, size: Decimal, usual_pct: Decimal) -> Decimal:
    reading = _read(entered, measures)
    if reading is None or reading.value is None:
        return size * usual_pct / FULL
    return reading.value if reading.item.unit == "L" else size * reading.value / FULL


def _gas(entered: Entered, found: Sequence[tuple[lpg.Cylinder, lpg.Content]]) -> Gas | None:
    if not found:
        return None
    loads = tuple(_gas_load(load) for load in entered.loads if load.draws == "gas")
    return Gas(tuple(inside for _cylinder, inside in found), loads)


def _weighed(entered: Entered, item: Instrument) -> tuple[lpg.Cylinder, lpg.Content] | Said | None:
    """Not weighed: as full as it may be, since that is how the yard hands it out. A sentence where it cannot be."""
    own = entered.overrides.get(item.pk)
    tare, net = (own and own.tare_kg) or item.tare_kg, (own and own.net_kg) or item.net_kg
    if tare is None or net is None:
        return None
    cylinder = lpg.Cylinder(
        (own.serial if own else "") or item.name, quantity(tare, "kg"), quantity(net, "kg"), _kind(entered)
    )  # fmt: skip
    reading = entered.readings.get(item.pk)
    gross = reading.value if reading and reading.value is not None else tare + net
    scale = quantity(reading.half_width if reading else item.half_width, "kg")
    try:
        return cylinder, lpg.content(cylinder, quantity(gross, "kg"), scale_half_width=scale)
    except lpg.AnotherCylinder as other:
        sentence: Said = other.args[0]
        return sentence


def _kind(entered: Entered) -> lpg.GasKind:
    return lpg.gas_kind(entered.layout.gas) if entered.layout else lpg.PROPANE


def _too_full(cylinder: lpg.Cylinder, inside: lpg.Content) -> Said | None:
    if over := lpg.overfilled(cylinder, inside):
        return _("Cylinder %(serial)s holds %(found)s, more than the %(most)s it may: it does not go out.",
                 serial=cylinder.serial, found=f"{over.found:.1f~P}", most=f"{over.most:.1f~P}")  # fmt: skip
    return None


def _gas_load(load: Load) -> lpg.GasLoad:
    return lpg.GasLoad(
        load.name, load.amount, load.hours, load.hours_each, in_frost=load.in_frost, not_on_mains=load.not_on_mains
    )  # fmt: skip
