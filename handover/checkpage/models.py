"""How often somebody guessed or uploaded in an hour. Of the address only a keyed digest, another one each hour."""

from django.db import models

from shared.ids import uuid7


class CheckTry(models.Model):
    """A table and not a cache: several web processes count together, and a restart forgets nothing."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    who = models.CharField(max_length=64, unique=True)
    hour = models.DateTimeField()
    count = models.PositiveIntegerField(default=0)

    class Meta:
        indexes = [models.Index(fields=["hour"], name="check_try_hour")]
