"""Whether the gas and fire checks of a unit were up to date on the day it was handed over."""

from datetime import date, datetime
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from fleet.models import DueDate
from handover.insight.asking import Asked
from handover.insight.metrics.handovers import pickups_of
from handover.insight.table import Column, Row, Table
from handover.turnaround.models import TurnaroundJob
from shared.clock import local

SAFETY = [DueDate.Kind.GAS, DueDate.Kind.EXTINGUISHER, DueDate.Kind.ALARMS]


def checks_at_pickup(asked: Asked) -> Table:
    """Each pickup with each check; what has to be explained stands first."""
    walks = pickups_of(asked).select_related("leg__unit", "leg__rental__branch").order_by("finished_at", "pk")
    units = {walk.leg.unit_id for walk in walks}
    kept = DueDate.objects.filter(unit__in=units, kind__in=SAFETY).values_list("unit", "kind", "due_on")
    due = {(unit, kind): day for unit, kind, day in kept}
    renewed = _renewed(units)
    found: list[tuple[int, Row]] = []
    for walk in walks:
        rental, at = walk.leg.rental, local(walk.started_at, walk.leg.rental.branch.zone)
        for kind in SAFETY:
            rank, day, words = _stood(due.get((walk.leg.unit_id, kind)), at, renewed.get((walk.leg.unit_id, kind), []))
            cells = (rental.number, walk.leg.unit.number, at.date(), str(kind.label), day, words)
            found.append((rank, Row(cells, rental=rental.pk)))
    count = len(found)
    return Table(
        title=_("Gas and fire checks on the day of pickup"),
        definition=_("Gas inspection, extinguisher and alarms of each unit that went out, by the date that "
                     "is kept now."),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("unit", _("Unit"), figures=False),
            Column("pickup", _("Pickup"), figures=False), Column("check", _("Check"), figures=False),
            Column("due_on", _("Due"), figures=False), Column("finding", _("Finding"), figures=False),
        ),
        rows=tuple(row for _rank, row in sorted(found, key=lambda pair: pair[0])),
        rests_on=count,
        rests_words=ngettext("%(count)s check", "%(count)s checks", count) % {"count": count},
        unknown=(_("A due date that was set anew in the setting-up pages does not say what stood there before."),),
    )  # fmt: skip


def _renewed(units: set[UUID]) -> dict[tuple[UUID, str], list[datetime]]:
    done = TurnaroundJob.objects.filter(
        unit__in=units, kind=TurnaroundJob.Kind.DUE, outcome=TurnaroundJob.Outcome.DONE, name__in=SAFETY
    )
    found: dict[tuple[UUID, str], list[datetime]] = {}
    for unit, kind, at in done.values_list("unit", "name", "closed_at"):
        if at:
            found.setdefault((unit, kind), []).append(at)
    return found


def _stood(due_on: date | None, at: datetime, renewed: list[datetime]) -> tuple[int, date | str, str]:
    """How much it has to be explained (0 first), the date that is kept, and the finding."""
    later = [when for when in renewed if when > at]
    if due_on is None:
        return 2, _("none kept"), _("No date is kept")
    if due_on < at.date():
        return 0, due_on, _("Overdue at pickup")
    if later:
        return 1, due_on, _("Renewed since: what stood then is not known")
    return 3, due_on, _("Up to date")
