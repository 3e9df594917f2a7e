"""What came from tablets: a receipt for every entry, photos on their way, and answers that do not agree."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from fleet.models import Branch
from handover.walkround.models import WalkRound
from shared.access.models import Device, Person
from shared.ids import uuid7


class Receipt(models.Model):
    """One entry that arrived: what became of it, who told it, who sent it on. Written once.

    What was held for a person is settled once: tried again or set aside, by whom and why.
    """

    class Outcome(models.TextChoices):
        OK = "ok", _("kept")
        CONFLICT = "conflict", _("kept beside another answer")
        HELD = "held", _("held for a person")
        REJECTED = "rejected", _("cannot be")

    class Settled(models.TextChoices):
        TRIED = "tried", _("tried again and kept")
        SET_ASIDE = "set_aside", _("set aside")

    key = models.UUIDField(primary_key=True, editable=False)
    device = models.ForeignKey(Device, models.PROTECT, related_name="receipts")
    # Empty where the number already stood for another entry of this device.
    seq = models.PositiveBigIntegerField(null=True)
    kind = models.CharField(max_length=20)
    walk_id = models.UUIDField(null=True, db_index=True, help_text="As sent: there may be no such walk-round.")
    outcome = models.CharField(max_length=8, choices=Outcome.choices)
    sentence = models.TextField(blank=True)
    field = models.CharField(max_length=40, blank=True)
    author = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+", help_text="Proven, or empty.")
    relayed_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    branch = models.ForeignKey(Branch, models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(null=True, help_text="By the tablet's clock, corrected.")
    received_at = models.DateTimeField()
    skew_ms = models.BigIntegerField(default=0, help_text="How far the tablet's clock was ahead of the server's.")
    sha256 = models.CharField(max_length=64, help_text="Of what was sent under this key.")
    body = models.TextField(blank=True, help_text="The entry as JSON, while it is not written as rows.")
    settled_at = models.DateTimeField(null=True)
    settled_by = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")
    settled = models.CharField(max_length=9, choices=Settled.choices, blank=True)
    reason = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["received_at", "key"]
        constraints = [
            models.UniqueConstraint(fields=["device", "seq"], name="one_entry_a_number"),
            models.CheckConstraint(
                condition=Q(settled_at__isnull=True, settled_by__isnull=True, settled="")
                | (Q(settled_at__isnull=False, settled_by__isnull=False) & ~Q(settled="")),
                name="receipt_settled_by_somebody",
            ),
            models.CheckConstraint(condition=~Q(settled="set_aside") | ~Q(reason=""), name="set_aside_with_a_reason"),
        ]
        indexes = [models.Index(fields=["branch"], condition=Q(outcome="held", settled_at=None), name="receipt_held")]

    def __str__(self) -> str:
        return f"{self.kind} {self.seq} of {self.device_id}"

    @property
    def is_written(self) -> bool:
        return self.outcome in {self.Outcome.OK, self.Outcome.CONFLICT} or self.settled == self.Settled.TRIED


class Upload(models.Model):
    """Bytes of a photo on their way. How many have come is the length of the file, so that nothing can disagree."""

    key = models.UUIDField(primary_key=True, editable=False)
    size = models.PositiveBigIntegerField()
    sha256 = models.CharField(max_length=64)
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    begun_at = models.DateTimeField(auto_now_add=True)
    whole_at = models.DateTimeField(null=True)
    # How often all had come and were not the bytes that were meant.
    mismatches = models.PositiveSmallIntegerField(default=0)
    refused = models.TextField(blank=True, help_text="Why it is not taken, as a sentence.")

    def __str__(self) -> str:
        return f"Upload {self.key}, {self.size} bytes"


class Disagreement(models.Model):
    """Two answers to one question from two tablets, neither of which had seen the other's. A person picks one."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    walk = models.ForeignKey(WalkRound, models.PROTECT, related_name="disagreements")
    item = models.UUIDField()
    kind = models.CharField(max_length=20)
    # Keys of both answers: `stood` was there when `came` arrived.
    stood = models.UUIDField()
    came = models.UUIDField()
    found_at = models.DateTimeField()
    # The answer that a person gave knowing both.
    settled_with = models.UUIDField(null=True)
    settled_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["found_at", "id"]
        constraints = [
            models.UniqueConstraint(fields=["stood", "came"], name="disagree_once"),
            models.CheckConstraint(
                condition=Q(settled_with__isnull=True, settled_at__isnull=True)
                | Q(settled_with__isnull=False, settled_at__isnull=False),
                name="disagreement_settled_with_an_answer",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.item}: {self.stood} and {self.came}"
