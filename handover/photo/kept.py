"""The columns of a photo that belongs to no walk-round."""

from django.db import models


class KeptPhoto(models.Model):
    """Kept under its digest, without its place. The fields of `taking_in.TakenIn` fill these columns."""

    sent_sha256 = models.CharField(max_length=64)
    kept_sha256 = models.CharField(max_length=64)
    original = models.CharField(max_length=120)
    display = models.CharField(max_length=120)
    thumb = models.CharField(max_length=120)
    taken_at = models.DateTimeField(null=True)

    class Meta:
        abstract = True
