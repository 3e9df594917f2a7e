"""A job in words, in the language of the page."""

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext as _

from consumables.readable import figure
from fleet.models import DueDate
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.needed import Kind
from shared.dates import dated
from shared.phrasebook import said

PLAIN = frozenset({Kind.OTHER})


def due_title(due: Mapping[str, str]) -> str:
    """Gas inspection, due on 16 Nov 2026: of a due date as it was kept with a release."""
    what = str(DueDate.Kind(due["kind"]).label)
    return _("%(what)s, due on %(day)s") % {"what": what, "day": dated(date.fromisoformat(due["due_on"]))}


def title(job: TurnaroundJob) -> str:
    """Refuel: Fuel, about 31.5 L."""
    if job.kind in PLAIN:
        return job.name
    words = f"{job.get_kind_display()}: {_subject(job)}"
    if job.amount is None:
        return words
    amount = f"{figure(job.amount)} {job.amount_unit}".strip()
    about = _("about %(amount)s") if job.amount_unit else _("%(amount)s more")
    return f"{words}, {about % {'amount': amount}}"


def _subject(job: TurnaroundJob) -> str:
    if job.kind == Kind.DUE:
        return str(DueDate.Kind(job.name).label)
    return str(said(job.name))
