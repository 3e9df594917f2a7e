"""The battery through the trip: filled by driving, sun and mains, drawn down each night."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from consumables.battery import LEAD, charged, drawn_in_a_day, solar_yield, usable_share
from consumables.battery.charging import LEAD_FACTOR, LITHIUM_FACTOR
from consumables.trip_plan.model import Battery, Party, Power, PowerNight, Stop
from shared.units import Quantity, quantity, value_in

# From the evening to the morning on a pitch. Common practice, no source.
MAINS_H = Decimal(12)
MOST_MORE_DRIVING_H = Decimal(3)
FULL, EMPTY, NONE = Decimal(100), Decimal(0), Decimal(0)
LONGEST_ALONE = 14


@dataclass(frozen=True, slots=True)
class Day:
    """What one day does to this battery, percent; `reserve` is what should never be gone below."""

    battery: Battery
    party: Party

    @property
    def reserve(self) -> Decimal:
        return FULL * (1 - usable_share(self.battery.chemistry))

    @property
    def capacity(self) -> Quantity:
        return quantity(self.battery.capacity_ah, "Ah")

    def drawn_ah(self, stop: Stop) -> Decimal:
        taken = drawn_in_a_day(
            self.battery.loads, people=self.party.people, frost=stop.frost, capacity=self.capacity,
            chemistry=self.battery.chemistry,
        )  # fmt: skip
        return value_in(taken, "Ah")

    def sun_ah(self, stop: Stop) -> Decimal:
        """Of a usual day, what stays in the battery; none where the place is not known."""
        if stop.latitude is None:
            return NONE
        put_in = value_in(
            solar_yield(quantity(self.battery.solar_w, "W"), stop.latitude, stop.day).usual, "Ah"
        )  # fmt: skip
        return put_in / (LEAD_FACTOR if self.battery.chemistry in LEAD else LITHIUM_FACTOR)

    def evening(self, percent: Decimal, stop: Stop) -> Decimal:
        driven = self._charged(percent, self.battery.drive_a, self.party.drive_h)
        return min(FULL, driven + self._percent(self.sun_ah(stop)))

    def unplugged(self, evening: Decimal, stop: Stop) -> Decimal:
        return max(EMPTY, evening - self._percent(self.drawn_ah(stop)))

    def plugged(self, evening: Decimal, stop: Stop) -> Decimal:
        """The charger carries what is on, and charges with what it has left."""
        spare = self.battery.charger_a - self.drawn_ah(stop) / 24
        if spare <= 0:
            return max(EMPTY, evening + self._percent(spare * MAINS_H))
        return self._charged(evening, spare, MAINS_H)

    def more_driving(self, short_pct: Decimal) -> Decimal:
        """Hours, in halves upwards, that put so many percent in; 0 where driving charges nothing."""
        an_hour = self._charged(self.reserve, self.battery.drive_a, Decimal(1)) - self.reserve
        if an_hour <= 0:
            return NONE
        return (short_pct / an_hour * 2).quantize(Decimal(1), rounding=ROUND_CEILING) / 2

    def _charged(self, percent: Decimal, amperes: Decimal, hours: Decimal) -> Decimal:
        charger, time = quantity(amperes, "A"), quantity(hours, "h")
        return charged(self.capacity, percent, charger, time, self.battery.chemistry)

    def _percent(self, ampere_hours: Decimal) -> Decimal:
        return FULL * ampere_hours / self.battery.capacity_ah


def power_by_night(battery: Battery, party: Party, stops: Sequence[Stop]) -> tuple[PowerNight, ...]:
    """Plug in where mains is known, and at open places when it would not last to the next mains otherwise."""
    day, percent, nights = Day(battery, party), battery.percent, []
    for place, stop in enumerate(stops):
        evening = day.evening(percent, stop)
        night = _night(day, evening, stops[place:])
        nights.append(night)
        percent = night.morning_pct
    return tuple(nights)


def _night(day: Day, evening: Decimal, ahead: Sequence[Stop]) -> PowerNight:
    stop, needed = ahead[0], not lasts_to_mains(day, evening, ahead)
    can_charge = day.battery.charger_a > 0
    if can_charge and (stop.mains or (stop.mains is None and needed)):
        advice = Power.PLUG_IN if needed else Power.MAINS_THERE
        return PowerNight(advice, evening, day.plugged(evening, stop))
    morning = day.unplugged(evening, stop)
    if morning >= day.reserve:
        return PowerNight(Power.LASTS, evening, morning)
    more = day.more_driving(day.reserve - (evening - FULL * day.drawn_ah(stop) / day.battery.capacity_ah))
    if NONE < more <= MOST_MORE_DRIVING_H:
        return PowerNight(Power.DRIVE, evening, day.reserve, more)
    return PowerNight(Power.SHORT, evening, morning)


def lasts_to_mains(day: Day, evening: Decimal, ahead: Sequence[Stop]) -> bool:
    """Whether it stays above the reserve, unplugged this night and at all places without mains that follow."""
    morning = day.unplugged(evening, ahead[0])
    for stop in ahead[1:]:
        if morning < day.reserve or stop.mains is not False:
            break
        morning = day.unplugged(day.evening(morning, stop), stop)
    return morning >= day.reserve


def nights_alone(battery: Battery, party: Party, stop: Stop) -> int:
    """Nights that a full battery lasts without mains, days like this one; at most 14, which means: for good."""
    day, percent = Day(battery, party), FULL
    for nights in range(LONGEST_ALONE):
        percent = day.unplugged(percent if nights == 0 else day.evening(percent, stop), stop)
        if percent < day.reserve:
            return nights
    return LONGEST_ALONE
