"""A job in words, in the language of the page."""

from django.utils.translation import gettext as _

from consumables.readable import figure
from fleet.models import DueDate
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.needed import Kind
from shared.phrasebook import said

PLAIN = frozenset({Kind.OTHER})


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
