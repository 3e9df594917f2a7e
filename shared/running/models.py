"""When something was last done that must not be forgotten: a backup, a check of the ledger."""

from datetime import datetime
from typing import Any

from django.db import models
from django.db.models import TextChoices
from django.utils import timezone


class Mark(models.Model):
    """One row a thing, of its last time. No evidence: what it tells of can be asked again."""

    class Of(TextChoices):
        BACKUP = "backup", "backup"
        LEDGER = "ledger", "ledger checked from the first entry to the last"

    of = models.CharField(primary_key=True, max_length=20, choices=Of.choices)
    at = models.DateTimeField()
    # For the ledger: whether it held. A backup that failed leaves no mark.
    went_well = models.BooleanField(default=True)
    said = models.JSONField(default=dict, help_text="Figures to show: counts, sizes in bytes.")

    class Meta:
        app_label = "shared"

    def __str__(self) -> str:
        return f"{self.of} at {self.at:%Y-%m-%d %H:%M}"


def mark(of: Mark.Of, *, at: datetime | None = None, went_well: bool = True, **said: Any) -> Mark:
    made, _new = Mark.objects.update_or_create(
        of=of, defaults={"at": at or timezone.now(), "went_well": went_well, "said": said}
    )
    return made


def last(of: Mark.Of) -> Mark | None:
    return Mark.objects.filter(of=of).first()
