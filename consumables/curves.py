"""Which tank curve counts for a unit on a day: its own newest, else its layout's."""

from datetime import date

from django.db.models import Q

from consumables.models import TankCurve
from fleet.models import Unit


def curves_on(unit: Unit, day: date) -> dict[str, TankCurve]:
    """By the code of the instrument, those valid on a day. A tank that is in none is a straight line."""
    rows = TankCurve.objects.filter(Q(unit=unit) | Q(layout=unit.layout_id), valid_from__lte=day)
    newest_last = sorted(rows, key=lambda row: (row.unit_id is not None, row.valid_from, row.at))
    return {row.code: row for row in newest_last}
