"""What is done about a tank: a fill is kept with its receipt, a curve is put to use or taken back."""

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from consumables.models import Fill, TankCurve
from consumables.readable import figure
from consumables.tank import TankCurve as Curve
from consumables.tank import straight_line
from consumables.tank.fills import OVER_FULL
from fleet.models import Instrument, Unit
from handover.acting import Act, CannotBe
from handover.photo.taking_in import TakenIn
from handover.tank.queries import Tank, tanks_of
from handover.zone import clock_at
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json


@dataclass(frozen=True, slots=True)
class PumpReceipt:
    """before, after: parts of full from 0 to 1 as read. litres and cost from the receipt, cost in the branch's money.

    to_click: until the pump stopped by itself.
    """

    before: Decimal
    after: Decimal
    litres: Decimal
    to_click: bool = False
    cost: Decimal | None = None


@transaction.atomic
def record_fill(
    *, unit: Unit, instrument: Instrument, receipt: PumpReceipt, act: Act, photo: TakenIn | None = None
) -> Fill:
    """Keep a fill of a unit's tank. Raises CannotBe at `before`, `after` or `litres`, NotAllowed, Http404.

    A receipt that does not agree with the gauge is kept all the same: it is what the tank is doubted by.
    """
    require(act.by, Right.SEE, unit.branch_id)
    if earlier := act.replayed(Fill, chain=unit.pk, kind="tank.filled"):
        return earlier
    tank = _tank(unit, instrument.code, act)
    _check(receipt, tank)
    fill = Fill.objects.create(
        id=act.key, unit=unit, instrument=instrument, before=receipt.before, after=receipt.after,
        litres=receipt.litres, to_click=receipt.to_click, cost=receipt.cost,
        currency=unit.branch.currency if receipt.cost is not None else "",
        receipt_photo=photo.display if photo else "", at=act.at, by=act.by,
    )  # fmt: skip
    act.write(chain=unit.pk, kind="tank.filled", subject=fill.pk, payload=_told(fill, instrument, photo))
    return fill


def _check(receipt: PumpReceipt, tank: Tank) -> None:
    for field, part in (("before", receipt.before), ("after", receipt.after)):
        if not 0 <= part <= 1:
            raise CannotBe(_("A gauge goes from empty to full: write it like 5/8 or 62 %."), field)
    if receipt.litres <= 0:
        raise CannotBe(_("A fill has more than 0 litres. They stand on the pump’s receipt."), "litres")
    if receipt.litres > tank.capacity * OVER_FULL:
        figures = {"litres": figure(receipt.litres), "tank": figure(tank.capacity)}
        raise CannotBe(
            _("%(litres)s L do not go into %(tank)s L. Is the receipt of this unit, and of one fill?") % figures,
            "litres",
        )
    if receipt.cost is not None and receipt.cost < 0:
        raise CannotBe(_("A fill costs 0 or more."), "cost")


def _told(fill: Fill, instrument: Instrument, photo: TakenIn | None) -> dict[str, Json]:
    return {
        "tank": instrument.code,
        "before": figure(fill.before),
        "after": figure(fill.after),
        "litres": figure(fill.litres),
        "to_click": fill.to_click,
        "cost": None if fill.cost is None else figure(fill.cost),
        "currency": fill.currency,
        "receipt_sha256": photo.kept_sha256 if photo else None,
    }


@transaction.atomic
def use_curve(*, unit: Unit, code: str, seen: int, act: Act) -> TankCurve:
    """From today on the learned curve counts at pickups of this unit; what left earlier keeps what it left with.

    seen: how many receipts the curve that was looked at rests on. Raises CannotBe when others came in since, or when
    there are none; NotAllowed, Http404.
    """
    require(act.by, Right.SET_UP, unit.branch_id)
    if earlier := act.replayed(TankCurve, chain=unit.pk, kind="tank.curve_used"):
        return earlier
    tank = _tank(unit, code, act)
    learned = tank.learned
    if not learned.used:
        raise CannotBe(_("No receipts tell of this tank yet: it counts as a straight line."))
    if learned.used != seen:
        raise CannotBe(_("Receipts came in since you looked. Look at the curve again, then press once more."))
    row = _row(tank, learned.curve, act)
    row.standard_uncertainty = [figure(each) for each in learned.standard_uncertainty]
    row.covariance = [list(line) for line in learned.covariance]
    row.learned_from = learned.used
    return _kept(row, "tank.curve_used", act)


@transaction.atomic
def use_straight_line(*, unit: Unit, code: str, act: Act) -> TankCurve:
    """From today on the tank counts as a straight line again. Raises CannotBe when it does; NotAllowed, Http404."""
    require(act.by, Right.SET_UP, unit.branch_id)
    if earlier := act.replayed(TankCurve, chain=unit.pk, kind="tank.straight_used"):
        return earlier
    tank = _tank(unit, code, act)
    if tank.in_use is None:
        raise CannotBe(_("It counts as a straight line already."))
    return _kept(_row(tank, straight_line(tank.capacity), act), "tank.straight_used", act)


def _tank(unit: Unit, code: str, act: Act) -> Tank:
    today = clock_at(unit.branch, act.at).date()
    tanks = tanks_of(Unit.objects.filter(pk=unit.pk), today=today)
    found = next((tank for tank in tanks if tank.instrument.code == code), None)
    if found is None:
        raise CannotBe(
            _("This unit has no such tank with a gauge and litres. The setting-up pages have its instruments.")
        )
    return found


def _row(tank: Tank, curve: Curve, act: Act) -> TankCurve:
    return TankCurve(
        id=act.key, unit=tank.unit, code=tank.instrument.code, litres=[figure(each) for each in curve.litres],
        valid_from=clock_at(tank.unit.branch, act.at).date(), at=act.at, made_by=act.by,
    )  # fmt: skip


def _kept(row: TankCurve, kind: str, act: Act) -> TankCurve:
    row.save(force_insert=True)
    payload: dict[str, Json] = {
        "tank": row.code,
        "litres": list(row.litres),
        "receipts": row.learned_from,
        "valid_from": row.valid_from.isoformat(),
    }
    act.write(chain=row.unit_id or row.pk, kind=kind, subject=row.pk, payload=payload)
    return row
