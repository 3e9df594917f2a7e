"""Units, parties and nights for the plan: a panel van with 95 Ah of AGM, as the demo's are built."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from consumables import lpg
from consumables.battery import Chemistry, Load
from consumables.trip_plan import Battery, Gas, Party, Stop, Tanks, UnitStores
from consumables.water import Habit
from shared.units import quantity

FRIDAY = date(2026, 8, 14)
LATITUDE = Decimal("57.6")
FRIDGE = Load("Refrigerator", Decimal(48), Decimal(5))
PHONES = Load("Phones", Decimal(12), Decimal(0), hours_each=Decimal(2))
FAN = Load("Heating fan", Decimal(24), Decimal(8), in_frost=True)
AGM_95 = Battery(
    Chemistry.AGM, Decimal(95), Decimal(97), charger_a=Decimal(10), drive_a=Decimal(20), loads=(FRIDGE, PHONES, FAN)
)
TANKS = Tanks(Decimal(90), Decimal(80), Decimal("17.5"), fresh_now_l=Decimal(90))
HOB = lpg.GasLoad("Hob", Decimal(150), Decimal("0.5"), Decimal("0.1"))
ABSORBER = lpg.GasLoad("Refrigerator", Decimal(13), Decimal(24), not_on_mains=True)
HEATING = lpg.GasLoad("Heating", Decimal(200), Decimal(6), in_frost=True)
TWO = Party(2, Habit.SPARING, Decimal(1))


def battery(**said: Any) -> Battery:
    return replace(AGM_95, **said)


def tanks(**said: Any) -> Tanks:
    return replace(TANKS, **said)


def party(**said: Any) -> Party:
    return replace(TWO, **said)


def gas(*kilograms: str, loads: tuple[lpg.GasLoad, ...] = (HOB,)) -> Gas:
    cylinder = lpg.Cylinder("A", quantity("5.9", "kg"), quantity(6, "kg"))
    gross = [quantity(Decimal("5.9") + Decimal(each), "kg") for each in kilograms]
    contents = tuple(lpg.content(cylinder, each, scale_half_width=quantity("0.1", "kg")) for each in gross)
    return Gas(contents, loads)


def stores(**said: Any) -> UnitStores:
    return UnitStores(**{"battery": AGM_95, "tanks": TANKS, "gas": gas("6", "6"), **said})


def stops(*there: bool | None, **said: Any) -> list[Stop]:
    """A night for each: with everything, without, or open."""
    days = [FRIDAY + timedelta(days=nth) for nth in range(len(there))]
    return [
        Stop(day, "Quay", LATITUDE, Decimal(-5), **{"mains": has, "water": has, "waste": has, **said})
        for day, has in zip(days, there, strict=True)
    ]


def away(nights: int, **said: Any) -> list[Stop]:
    return stops(*[False] * nights, **said)


def words(rows: Sequence[Any]) -> list[str]:
    return [str(row.advice) for row in rows]
