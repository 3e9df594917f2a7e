"""Which tank curve counts for a unit on a day: its own newest, else its layout's."""

from collections.abc import Iterable
from datetime import date
from uuid import UUID

from django.db.models import Q

from consumables.models import TankCurve
from fleet.models import Unit

ByCode = dict[str, TankCurve]


def curves_on(unit: Unit, day: date) -> ByCode:
    """By the code of the instrument, those valid on a day. A tank that is in none is a straight line."""
    return curves_of([unit], day)[unit.pk]


def curves_of(units: Iterable[Unit], day: date) -> dict[UUID, ByCode]:
    """As curves_on, by the id of each unit."""
    units = list(units)
    of = Q(unit__in=units) | Q(layout__in={unit.layout_id for unit in units})
    rows = TankCurve.objects.filter(of, valid_from__lte=day).select_related("made_by")
    newest_last = sorted(rows, key=lambda row: (row.unit_id is not None, row.valid_from, row.at))
    return {unit.pk: {row.code: row for row in newest_last if _is_of(row, unit)} for unit in units}


def _is_of(row: TankCurve, unit: Unit) -> bool:
    return row.unit_id == unit.pk or row.layout_id == unit.layout_id
