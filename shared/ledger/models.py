"""The tables of the ledger. Only shared/ledger/writing.py and personal.py write to them."""

from django.conf import settings
from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q

from shared.ids import uuid7
from shared.ledger.chain import START, Link


class Entry(models.Model):
    """One thing that happened. Written once; the database refuses to change or delete it.

    chain is the id of the rental (or of the unit, the branch) the entry belongs to; payload is canonical JSON without
    personal data; key was made by the client, so that a replay is recognised; subject is the row that was written.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    chain = models.UUIDField()
    sequence = models.PositiveIntegerField()
    kind = models.CharField(max_length=64, validators=[RegexValidator(r"^[a-z_]+(\.[a-z_]+)+$")])
    payload = models.TextField()
    actor = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+")
    device = models.CharField(max_length=64, blank=True)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    key = models.UUIDField()
    subject = models.UUIDField(null=True, blank=True)
    # {"handover.reading:0198…": digest} of the typed rows that were written with it; empty when there were none.
    rows = models.TextField(blank=True)
    previous = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)

    class Meta:
        app_label = "shared"
        verbose_name_plural = "entries"
        constraints = [
            models.UniqueConstraint(fields=["chain", "sequence"], name="ledger_entry_one_per_sequence"),
            models.UniqueConstraint(fields=["key"], name="ledger_entry_one_per_key"),
            models.CheckConstraint(condition=Q(sequence__gte=1), name="ledger_entry_sequence_from_one"),
        ]
        indexes = [
            models.Index(fields=["recorded_at"], name="ledger_entry_recorded"),
            models.Index(fields=["subject"], name="ledger_entry_subject"),
        ]

    def __str__(self) -> str:
        return f"{self.kind}, entry {self.sequence} of {self.chain}"

    @property
    def link(self) -> Link:
        """The columns the digest is taken over."""
        return Link(
            id=self.id,
            chain=self.chain,
            sequence=self.sequence,
            kind=self.kind,
            payload=self.payload,
            actor=self.actor_id,
            device=self.device,
            happened_at=self.happened_at,
            recorded_at=self.recorded_at,
            key=self.key,
            subject=self.subject,
            rows=self.rows,
            previous=self.previous,
        )


class ChainHead(models.Model):
    """The last entry of a chain: the row that is locked while the next is appended. Sequence 0: none yet."""

    chain = models.UUIDField(primary_key=True)
    sequence = models.PositiveIntegerField(default=0)
    digest = models.CharField(max_length=64, default=START)
    recorded_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        app_label = "shared"

    def __str__(self) -> str:
        return f"{self.chain} at {self.sequence}"


class PersonalValue(models.Model):
    """A name, an address, a number of a licence: what the ledger states only as a salted digest.

    Erasing empties value and salt; the row stays, so that the digest in the ledger is known to be an erased one.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    kind = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)
    salt = models.CharField(max_length=64, blank=True)
    value = models.TextField(blank=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        app_label = "shared"
        constraints = [
            models.UniqueConstraint(fields=["digest"], name="personal_value_one_per_digest"),
            models.CheckConstraint(
                condition=Q(erased_at__isnull=True) | Q(salt="", value=""), name="personal_value_erased_whole"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.digest[:12]}"


class RowStated(models.Model):
    """Which entry last stated a typed row, and the salt of the digest it states. An empty digest: the row is gone."""

    name = models.CharField(primary_key=True, max_length=130)
    digest = models.CharField(max_length=64, blank=True)
    salt = models.CharField(max_length=32, blank=True)
    entry = models.UUIDField(db_index=True)

    class Meta:
        app_label = "shared"

    def __str__(self) -> str:
        return self.name


class DaySeal(models.Model):
    """What was signed of one closed day (UTC). Written once, in order; shared/ledger/days.py says what the document is.

    signature is a detached CMS signature over the document; stamp the answer of a time-stamping authority (RFC 3161)
    over the signature, or nothing when none is configured. Both DER.
    """

    number = models.PositiveIntegerField(primary_key=True)
    day = models.DateField(unique=True)
    document = models.TextField()
    signature = models.BinaryField()
    stamp = models.BinaryField(blank=True)

    class Meta:
        app_label = "shared"
        ordering = ["number"]
        constraints = [models.CheckConstraint(condition=Q(number__gte=1), name="day_seal_number_from_one")]

    def __str__(self) -> str:
        return f"Day seal {self.number}, {self.day}"
