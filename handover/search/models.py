"""What can be found, kept beside the rows it is told by, and the views that people saved.

SearchRow and SearchWord follow the rows of the product and hold nothing of their own: rebuild_search makes them anew.
"""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from fleet.models import Branch, Unit
from handover.rental.models import Rental
from handover.search.kinds import Kind
from shared.ids import uuid7


class SearchRow(models.Model):
    """One thing to find. `text` has a line for each part it is found by; `target` and `detail` lead to its page."""

    kind = models.CharField(max_length=1, choices=[(kind.value, kind.name) for kind in Kind])
    source = models.CharField(max_length=20)
    of = models.UUIDField()
    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="+", db_index=False)
    rental = models.ForeignKey(Rental, on_delete=models.CASCADE, null=True, related_name="+")
    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, null=True, related_name="+")
    target = models.UUIDField()
    detail = models.PositiveIntegerField(default=0)
    day = models.DateField(help_text=_("By the branch’s calendar."))
    until = models.DateField(null=True)
    text = models.TextField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["source", "of"], name="found_once")]


class SearchWord(models.Model):
    """One way to find a row: `key` is ordered as handover/search/keys.py says."""

    row = models.ForeignKey(SearchRow, on_delete=models.CASCADE, related_name="words")
    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="+", db_index=False)
    key = models.BinaryField(unique=True)


class SavedView(models.Model):
    """A search under a name. With a branch it is shared: whoever is posted there has it on the search page."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="saved_views")
    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, null=True, related_name="shared_views")
    name = models.CharField(max_length=60)
    phrase = models.CharField(max_length=200, blank=True)
    # {"kind": …, "branch": …, "start": …, "end": …, "state": …}, as in the address; what is not narrowed is left out.
    narrowed = models.JSONField(default=dict)

    class Meta:
        ordering = ["name", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["person", "name"], condition=Q(branch__isnull=True), name="one_own_view_a_name"
            ),
            models.UniqueConstraint(
                fields=["branch", "name"], condition=Q(branch__isnull=False), name="one_shared_view_a_name"
            ),
        ]

    def __str__(self) -> str:
        return self.name
