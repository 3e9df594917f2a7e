"""Filled up before settling, then read again: the later reading counts, with the pump's receipt beside it."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.evidence import Evidence, Shows, keep_evidence, last_return
from handover.counter.guard import begin
from handover.counter.models import Refill
from handover.rental.models import Rental
from handover.walkround.guard import asked
from handover.walkround.models import Reading, WalkRound
from handover.walkround.reading import Taken, read
from handover.walkround.sheet import InstrumentAsk
from shared.ids import uuid7


@dataclass(frozen=True, slots=True)
class Receipt:
    """What the pump says. litres in L."""

    litres: Decimal
    pumped_at: datetime


@transaction.atomic
def read_again(
    rental: Rental, *, item: UUID, typed: str, receipt: Receipt, act: Act, evidence: Evidence | None = None
) -> Refill:
    """A later reading of a fuel gauge on the finished return. Raises CannotBe."""
    if earlier := begin(rental, Refill, "reading.taken_again", act):
        return earlier
    walk = last_return(rental)
    ask = asked((ask for _, ask in walk.sheet.data.instruments() if ask.measures == "fuel"), item, "gauge")
    last = Reading.objects.filter(walk=walk, item_id=item).order_by("at", "id").last()
    _check(walk, ask, receipt, act)
    taken = read(walk, ask, typed, at=act.at)
    reading = Reading.objects.create(
        id=uuid7(), walk=walk, item_id=item, value=taken.value, half_width=ask.half_width, typed=typed.strip(),
        doubt=_doubt(last, taken, receipt, ask) or taken.doubt, at=act.at, by=act.by,
    )  # fmt: skip
    refill = Refill.objects.create(
        id=act.key, rental=rental, reading=reading, litres=receipt.litres, pumped_at=receipt.pumped_at, at=act.at,
        by=act.by,
    )  # fmt: skip
    station = next(station.number for station, one in walk.sheet.data.instruments() if one.id == item)
    shows = Shows(view=f"{ask.name}, read again", subject=item, station=station)
    photos = keep_evidence(rental, evidence or Evidence(), shows, act=act)
    act.write(
        chain=rental.pk,
        kind="reading.taken_again",
        subject=refill.pk,
        payload={
            "walk": str(walk.pk),
            "reading": str(reading.pk),
            "instrument": ask.name,
            "value": str(taken.value),
            "unit": ask.unit,
            "typed": reading.typed,
            "doubt": reading.doubt,
            "pump_litres": str(receipt.litres),
            "pumped_at": receipt.pumped_at.isoformat(),
            "photos": [photo.kept_sha256 for photo in photos],
        },
    )
    return refill


def _check(walk: WalkRound, ask: InstrumentAsk, receipt: Receipt, act: Act) -> None:
    if receipt.litres <= 0:
        raise CannotBe(
            _("%(litres)s L cannot be filled in. Write the litres of the receipt.") % {"litres": receipt.litres},
            "litres",
        )
    if ask.capacity is not None and receipt.litres > ask.capacity:
        raise CannotBe(
            _("%(litres)s L is more than the %(capacity)s L of this tank.")
            % {"litres": receipt.litres, "capacity": ask.capacity},
            "litres",
        )
    if walk.arrived_at and receipt.pumped_at < walk.arrived_at:
        raise CannotBe(_("This was pumped before it came back: the first reading has it already."), "pumped_at")
    if receipt.pumped_at > act.at:
        raise CannotBe(_("This time is still to come. Write the time on the receipt."), "pumped_at")


def _doubt(last: Reading | None, taken: Taken, receipt: Receipt, ask: InstrumentAsk) -> str:
    """A question when gauge and pump differ by more than the gauge can."""
    if last is None or last.value is None:
        return ""
    rise = taken.value - last.value
    if abs(rise - receipt.litres) <= 2 * ask.half_width:
        return ""
    return f"The gauge rose by {rise.normalize():f} L, the pump says {receipt.litres.normalize():f} L. Has it settled?"
