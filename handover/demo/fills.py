"""The demo's pump receipts: a unit whose curve is well known, one that has just begun, and one that is doubted."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import NamedTuple

from consumables.models import Fill
from consumables.tank import TankCurve
from fleet.demo.loading import DemoFleet
from fleet.models import Instrument, Unit
from handover.acting import Act
from handover.tank.actions import PumpReceipt, record_fill
from shared.ids import uuid7

# Litres of a 90 L tank at the eighths of its gauge: wide below, so that half on the gauge is 51 L.
TRUE_CURVE = TankCurve(tuple(map(Decimal, ("0", "15", "28.5", "40.5", "51", "61.5", "71.5", "81", "90"))))
PRICE = Decimal("1.62")
SIXTEENTHS = (3, 9, 5, 12, 7, 2, 10, 6, 13, 4, 8, 11, 1, 14)


class DemoFills(NamedTuple):
    """So many fills of a unit, the last `strange` of them by receipts that are another unit's."""

    unit: str
    fills: int
    strange: int = 0


FILLS = (DemoFills("407", 34, strange=1), DemoFills("305", 4), DemoFills("212", 14, strange=3))


def load_fills(fleet: DemoFleet, *, now: datetime) -> None:
    """Kept once, spread over the months before now."""
    for row in FILLS:
        unit = fleet.units[row.unit]
        diesel = Instrument.objects.filter(station__layout=unit.layout, code="diesel").first()
        if diesel is None or Fill.objects.filter(unit=unit).exists():
            continue
        for number in range(row.fills):
            act = Act(by=fleet.people["callum"], at=now - timedelta(days=6 * (row.fills - number)), key=uuid7())
            receipt = _receipt(number, unit, diesel, is_strange=number >= row.fills - row.strange)
            record_fill(unit=unit, instrument=diesel, receipt=receipt, act=act)


def _receipt(number: int, unit: Unit, diesel: Instrument, *, is_strange: bool) -> PumpReceipt:
    """To the click from one sixteenth or another; what the gauge hides between its marks is in the litres."""
    before = Decimal(SIXTEENTHS[number % len(SIXTEENTHS)]) / 16
    hidden = Decimal(number * 7 % 5 - 2) / 4
    share = (diesel.capacity or TRUE_CURVE.capacity) / TRUE_CURVE.capacity
    litres = (TRUE_CURVE.capacity - TRUE_CURVE.litres_at(before)) * share + hidden
    if is_strange:
        litres += 14 if litres < 40 else -14
    litres = litres.quantize(Decimal("0.01"))
    return PumpReceipt(before, Decimal(1), litres, to_click=True, cost=(litres * PRICE).quantize(Decimal("0.01")))
