"""Who is told what, and what became of each telling."""

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from handover.api.models import ApiToken
from handover.written import Written
from shared.ids import uuid7


class Webhook(Written):
    """An address that is told of kinds of events at the branches of its token, for as long as the token is valid.

    The secret is not kept: the server's key makes it again from the id (signing.py); the digest says by which key.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    token = models.ForeignKey(ApiToken, models.PROTECT, related_name="webhooks")
    url = models.CharField(max_length=500)
    kinds = models.JSONField()
    secret_sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    stopped_at = models.DateTimeField(null=True, blank=True)
    stopped_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        app_label = "handover"
        ordering = ["made_at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(stopped_at__isnull=True, stopped_by__isnull=True)
                | Q(stopped_at__isnull=False, stopped_by__isnull=False),
                name="webhook_stopped_by_somebody",
            )
        ]

    def __str__(self) -> str:
        return self.url


class WebhookMark(models.Model):
    """Up to which time of recording the ledger was looked through for a webhook."""

    webhook = models.OneToOneField(Webhook, models.CASCADE, primary_key=True, related_name="mark")
    looked_until = models.DateTimeField()

    class Meta:
        app_label = "handover"

    def __str__(self) -> str:
        return f"{self.webhook} until {self.looked_until}"


class WebhookDelivery(models.Model):
    """One event on its way to one address. Due from `due_at` on; handed to a worker until `queued_until`."""

    class State(models.TextChoices):
        WAITING = "waiting", _("on its way")
        TAKEN = "taken", _("taken")
        DEAD = "dead", _("given up")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    webhook = models.ForeignKey(Webhook, models.PROTECT, related_name="deliveries")
    entry = models.UUIDField(help_text=_("Of the ledger."))
    event = models.CharField(max_length=40)
    rental = models.ForeignKey("handover.Rental", models.PROTECT, related_name="+")
    happened_at = models.DateTimeField()
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    first_at = models.DateTimeField()
    due_at = models.DateTimeField()
    queued_until = models.DateTimeField(null=True, blank=True)
    answer_code = models.PositiveSmallIntegerField(null=True, blank=True)
    problem = models.CharField(max_length=200, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        app_label = "handover"
        ordering = ["-id"]
        indexes = [models.Index(fields=["state", "due_at"], name="webhook_delivery_due")]
        constraints = [models.UniqueConstraint(fields=["webhook", "entry"], name="told_once_of_an_entry")]

    def __str__(self) -> str:
        return f"{self.event} to {self.webhook}"

    def end(self, state: "WebhookDelivery.State", **said: Any) -> None:
        self.state = state
        for name, value in said.items():
            setattr(self, name, value)
        self.save(update_fields=["state", *said])
