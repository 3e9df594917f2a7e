"""Photos: what the camera sent, without its place, under its digest."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from handover.walkround.models import Mark, WalkRound
from shared.ids import uuid7


class Photo(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    walk = models.ForeignKey(WalkRound, on_delete=models.PROTECT, related_name="photos")
    station_number = models.PositiveSmallIntegerField()
    # What it shows: a reading's instrument, a mark, a kit, or the station as a whole.
    subject = models.UUIDField(null=True, blank=True)
    view = models.CharField(max_length=80, blank=True)
    sent_sha256 = models.CharField(max_length=64, help_text=gettext_lazy("Of the bytes as the camera sent them."))
    kept_sha256 = models.CharField(max_length=64, help_text=gettext_lazy("Of the original as kept, without its place."))
    original = models.CharField(max_length=120)
    display = models.CharField(max_length=120)
    thumb = models.CharField(max_length=120)
    content_type = models.CharField(max_length=30)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True, help_text=gettext_lazy("By the camera's own clock, where it says so."))
    skew_ms = models.BigIntegerField(
        null=True, help_text=gettext_lazy("How far the tablet's clock was ahead of the server's.")
    )
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]

    def __str__(self) -> str:
        return _("Photo %(kept_sha256)s, station %(station_number)s") % {
            "kept_sha256": self.kept_sha256[:8],
            "station_number": self.station_number,
        }


class PhotoPoint(models.Model):
    """Where on a photo a mark is seen: in thousandths of its width and height, from the left and from above.

    The photo is named by its id alone: offline a mark is often sent before the photo it was tapped on.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    walk = models.ForeignKey(WalkRound, on_delete=models.PROTECT, related_name="photo_points")
    photo_id = models.UUIDField(db_index=True)
    mark = models.ForeignKey(Mark, on_delete=models.PROTECT, related_name="points")
    x_permille = models.PositiveSmallIntegerField()
    y_permille = models.PositiveSmallIntegerField()
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(x_permille__lte=1000, y_permille__lte=1000), name="on_the_photo")
        ]

    def __str__(self) -> str:
        return _("%(mark)s on photo %(photo_id)s") % {"mark": self.mark, "photo_id": self.photo_id}


class PhotoPair(models.Model):
    """Two photos of one view, pickup and return, laid over each other. Made from them, and can be made again."""

    class State(models.TextChoices):
        WAITING = "waiting", gettext_lazy("being laid over each other")
        ALIGNED = "aligned", gettext_lazy("laid over each other")
        DIFFERENT = "different", gettext_lazy("too different to lay over each other")
        LOST = "lost", gettext_lazy("a file is missing or altered")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    out = models.ForeignKey(Photo, on_delete=models.PROTECT, related_name="pairs_as_out")
    now = models.ForeignKey(Photo, on_delete=models.PROTECT, related_name="pairs_as_now")
    state = models.CharField(max_length=9, choices=State.choices, default=State.WAITING)
    aligned = models.CharField(
        max_length=120, blank=True, help_text=gettext_lazy("The later photo as seen from where the first was.")
    )
    # [[left, top, width, height], ...] in thousandths of the first photo's width and height.
    regions = models.JSONField(default=list)
    made_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["out", "now"], name="one_pair_of_two_photos")]

    def __str__(self) -> str:
        return f"{self.out.view}, {self.get_state_display()}"
