"""What the pages of paper sheets show, and which legs left on a sheet that is lost."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from fleet.models import Branch
from handover.paper.models import PaperSheet
from handover.rental.models import Leg, Rental

State = Rental.State


def legs_without_their_sheet(rental: Rental) -> Collection[UUID]:
    """Legs whose pickup stood on a sheet that is lost: nothing can be charged against what nobody can show."""
    lost = Leg.objects.filter(rental=rental, walk_rounds__kind="pickup", walk_rounds__paper__is_lost=True)
    return frozenset(lost.values_list("pk", flat=True))


@dataclass(frozen=True, slots=True)
class SheetRow:
    """`is_gap`: a later number was used, and nobody has said what became of this one."""

    sheet: PaperSheet
    rental: Rental | None
    is_gap: bool


@dataclass(frozen=True, slots=True)
class SheetsPage:
    rows: Sequence[SheetRow]

    @property
    def gaps(self) -> list[int]:
        return [row.sheet.number for row in self.rows if row.is_gap]


def sheets_page(branch: Branch) -> SheetsPage:
    """The latest first. One query."""
    rows = PaperSheet.objects.filter(branch=branch).order_by("-number")
    sheets = list(rows.select_related("ended_by", "printed_by", "layout", "walk__leg__rental__customer"))
    used = max((sheet.number for sheet in sheets if sheet.ended_at), default=0)
    return SheetsPage([SheetRow(sheet, _rental(sheet), not sheet.ended_at and sheet.number < used) for sheet in sheets])


def _rental(sheet: Any) -> Rental | None:
    walk = getattr(sheet, "walk", None)
    return walk.leg.rental if walk else None


def legs_to_key_in(branch: Branch) -> Sequence[Leg]:
    """What can stand on a sheet: a pickup that waits, or a return of what is out."""
    legs = Leg.objects.filter(rental__branch=branch, ended_at=None).select_related("rental__customer", "unit")
    waits = legs.filter(rental__state__in=[State.BOOKED, State.SWAP, State.OUT])
    return list(waits.order_by("rental__planned_out_at", "number"))
