"""Photos: what the camera sent, without its place, under its digest."""

from django.conf import settings
from django.db import models

from handover.walkround.models import WalkRound
from shared.ids import uuid7


class Photo(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    walk = models.ForeignKey(WalkRound, on_delete=models.PROTECT, related_name="photos")
    station_number = models.PositiveSmallIntegerField()
    # What it shows: a reading's instrument, a mark, a kit, or the station as a whole.
    subject = models.UUIDField(null=True, blank=True)
    view = models.CharField(max_length=80, blank=True)
    sent_sha256 = models.CharField(max_length=64, help_text="Of the bytes as the camera sent them.")
    kept_sha256 = models.CharField(max_length=64, help_text="Of the original as kept, without its place.")
    original = models.CharField(max_length=120)
    display = models.CharField(max_length=120)
    thumb = models.CharField(max_length=120)
    content_type = models.CharField(max_length=30)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True, help_text="By the camera's own clock, where it says so.")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]

    def __str__(self) -> str:
        return f"Photo {self.kept_sha256[:8]}, station {self.station_number}"
