"""What pages say where something was erased: on which day, and whether by schedule or on request."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.utils.translation import gettext as _

from handover.retention.kinds import Kind
from handover.retention.models import ErasedFile, ErasedKind, Why
from handover.retention.words import NAMES
from shared.dates import dated


@dataclass(frozen=True, slots=True)
class Gone:
    """`kinds` by name, all of one day and one reason."""

    on: date
    sentence: str
    kinds: Sequence[str]


def sentence_of(on: date, why: str) -> str:
    """In the reader's language: Erased on 30 Nov 2026 by schedule."""
    if why == Why.REQUEST:
        return _("Erased on %(day)s, as the person asked.") % {"day": dated(on)}
    return _("Erased on %(day)s by schedule.") % {"day": dated(on)}


def gone_of(rental: UUID) -> list[Gone]:
    """The latest first. One query."""
    found: dict[tuple[date, str], list[str]] = {}
    for row in ErasedKind.objects.filter(rental=rental).order_by("-on", "kind"):
        found.setdefault((row.on, row.why), []).append(str(NAMES[Kind(row.kind)]))
    return [Gone(on, sentence_of(on, why), names) for (on, why), names in found.items()]


def file_gone(name: str) -> str:
    """The sentence for a kept file whose bytes were removed; empty for one that is missing for another reason."""
    row = ErasedFile.objects.filter(name=name, removed_at__isnull=False).order_by("-on").first()
    return sentence_of(row.on, row.why) if row else ""
