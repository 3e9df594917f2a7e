"""Numbered blank sheets. What became of each is said: keyed in as a walk-round, lost, or never used."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext as _

from fleet.models import Branch, Layout
from handover.written import Written
from shared.ids import uuid7


class PaperSheet(Written):
    """The walk-round that came of it points here. `begun_at` and `gone_at` are the times that somebody wrote on it.

    A lost sheet has its walk-round too where a unit left on it: one without any answer.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    branch = models.ForeignKey(Branch, on_delete=models.PROTECT, related_name="paper_sheets")
    layout = models.ForeignKey(Layout, on_delete=models.PROTECT, related_name="+")
    number = models.PositiveIntegerField()
    printed_at = models.DateTimeField()
    printed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    begun_at = models.DateTimeField(null=True)
    gone_at = models.DateTimeField(null=True)
    is_lost = models.BooleanField(default=False)
    ended_at = models.DateTimeField(null=True)
    ended_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    words = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["branch", "number"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "number"], name="one_paper_sheet_a_number"),
            models.CheckConstraint(
                condition=Q(is_lost=False) | (Q(ended_at__isnull=False) & ~Q(words="")), name="a_lost_sheet_says_why"
            ),
            models.CheckConstraint(
                condition=Q(gone_at__isnull=True) | Q(gone_at__gte=F("begun_at")), name="paper_begun_before_it_left"
            ),
        ]

    def __str__(self) -> str:
        return _("Paper sheet %(number)s") % {"number": self.number}
