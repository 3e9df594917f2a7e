"""The four customs of the trade, each held against the figures of one plan."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from consumables.battery import charge_time
from consumables.said import say as _
from consumables.trip_plan.model import Battery, Party, Power, PowerNight, Stop, Tanks, UnitStores
from consumables.trip_plan.power import LONGEST_ALONE, Day, nights_alone
from consumables.trip_plan.practice import Practice, Verdict
from consumables.water import daily, lasts
from shared.units import quantity, value_in

FULL_CHARGE_H = (Decimal(14), Decimal(16))
NIGHTS_ALONE = (1, 2)
WATER_DAYS = (Decimal(1), Decimal(2))
WELL_CHARGED = Decimal(90)


def customs(
    stores: UnitStores, party: Party, stops: Sequence[Stop], power: Sequence[PowerNight | None]
) -> Iterator[Practice]:
    battery = stores.battery
    if battery and battery.charger_a > 0:
        yield _full_charge(battery)
        if power and power[0]:
            yield _first_night(battery, power[0])
    if battery and stops:
        yield _second_night(battery, party, stops[0])
    if stores.tanks:
        yield _water(stores.tanks, party)


def _full_charge(battery: Battery) -> Practice:
    """From flat, since that is what is meant by 14 to 16 hours."""
    time = charge_time(
        quantity(battery.capacity_ah, "Ah"), Decimal(0), quantity(battery.charger_a, "A"), battery.chemistry
    )
    hours = value_in(time.to_full, "h").quantize(Decimal(1))
    why = _(
        "From flat, %(ah)s Ah on a charger of %(amperes)s A take about %(hours)s h; from half full about %(half)s h.",
        ah=whole(battery.capacity_ah), amperes=whole(battery.charger_a), hours=str(hours), half=_from_half(battery),
    )  # fmt: skip
    return Practice(_("A full charge takes 14 to 16 hours on mains."), _verdict(hours, *FULL_CHARGE_H), why)


def _from_half(battery: Battery) -> str:
    capacity, charger = quantity(battery.capacity_ah, "Ah"), quantity(battery.charger_a, "A")
    return whole(value_in(charge_time(capacity, Decimal(50), charger, battery.chemistry).to_full, "h"))


def _first_night(battery: Battery, night: PowerNight) -> Practice:
    custom = _("Plug in on the first night.")
    start = whole(battery.percent)
    if night.advice == Power.PLUG_IN:
        why = _("It starts with %(percent)s %% and would not last to the next mains.", percent=start)
        return Practice(custom, Verdict.HOLDS, why)
    if battery.percent < WELL_CHARGED:
        why = _("It starts with %(percent)s %%: it would last, but it is not full yet.", percent=start)
        return Practice(custom, Verdict.HOLDS, why)
    why = _("It starts with %(percent)s %% and lasts without.", percent=start)
    return Practice(custom, Verdict.LESS, why)


def _second_night(battery: Battery, party: Party, stop: Stop) -> Practice:
    alone, day = nights_alone(battery, party, stop), Day(battery, party)
    figures = {
        "ah": whole(day.drawn_ah(stop)), "usable": whole(battery.capacity_ah * (100 - day.reserve) / 100),
        "nights": str(alone),
    }  # fmt: skip
    if alone >= LONGEST_ALONE:
        why = _("A day takes %(ah)s Ah of the %(usable)s Ah to use; sun and driving bring it back.", **figures)
    else:
        why = _("A day takes %(ah)s Ah of the %(usable)s Ah to use: full, it lasts %(nights)s nights.", **figures)
    return Practice(_("Then plug in about every second day."), _verdict_of_nights(alone), why)


def _verdict_of_nights(alone: int) -> Verdict:
    if alone < NIGHTS_ALONE[0]:
        return Verdict.MORE
    return Verdict.HOLDS if alone <= NIGHTS_ALONE[1] else Verdict.LESS


def _water(tanks: Tanks, party: Party) -> Practice:
    used = daily(party.people, party.habit)
    sizes = (quantity(size, "L") for size in (tanks.fresh_l, tanks.waste_l, tanks.cassette_l))
    fresh, waste, cassette = sizes
    last = lasts(fresh_tank=fresh, waste_tank=waste, cassette=cassette, used=used)
    why = _(
        "%(people)s people use %(litres)s L a day: the fresh tank lasts %(fresh)s days, the waste tank %(waste)s, the "
        "cassette %(cassette)s.",
        people=str(party.people), litres=whole(value_in(used.fresh, "L")), fresh=str(last.fresh),
        waste=str(last.waste), cassette=str(last.cassette),
    )  # fmt: skip
    return Practice(_("Take on water every one to two days."), _how_often(last.least), why)


def _how_often(days: Decimal) -> Verdict:
    if days < WATER_DAYS[0]:
        return Verdict.MORE
    return Verdict.HOLDS if days <= WATER_DAYS[1] else Verdict.LESS


def _verdict(found: Decimal, least: Decimal, most: Decimal) -> Verdict:
    """More hours than the custom says are more; fewer are less."""
    if found > most:
        return Verdict.MORE
    return Verdict.HOLDS if found >= least else Verdict.LESS


def whole(value: Decimal) -> str:
    return str(value.quantize(Decimal(1)))
