"""The customer's own way in: links, what was sent of them, and what a customer noticed late. Nothing is overwritten."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from fleet.models import Branch
from handover.photo.kept import KeptPhoto
from handover.rental.models import Leg, Rental
from handover.walkround.models import Mark
from handover.written import Written
from shared.ids import uuid7


class CustomerTerms(models.Model):
    """What a branch grants on the customer's page. A branch without a row has the terms of the settings."""

    branch = models.OneToOneField(Branch, on_delete=models.CASCADE, related_name="customer_terms")
    link_days = models.PositiveSmallIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(1000)],
        help_text=_("How many days after the planned return a customer’s link stays open."),
    )
    notice_hours = models.PositiveSmallIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(1000)],
        help_text=_("Within how many hours of pickup what a customer reports counts as noticed in time."),
    )

    class Meta:
        verbose_name = _("terms of the customer’s page")
        verbose_name_plural = _("terms of the customer’s page")

    def __str__(self) -> str:
        return str(self.branch)


class CustomerLink(models.Model):
    """A way in for whoever holds its address, bound to one rental. Of the address only the digest is kept."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="customer_links")
    digest = models.CharField(max_length=64, unique=True, help_text=_("SHA-256 of the token in the address."))
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)
    revoked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-made_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(revoked_at__isnull=True, revoked_by__isnull=True)
                | Q(revoked_at__isnull=False, revoked_by__isnull=False),
                name="revoked_by_somebody",
            ),
            models.CheckConstraint(condition=Q(expires_at__gt=models.F("made_at")), name="a_link_opens_before_it_ends"),
        ]


class LinkOpening(models.Model):
    """When a link was last opened, within a minute, and how often: to know that it came through; no evidence."""

    link = models.OneToOneField(CustomerLink, on_delete=models.CASCADE, primary_key=True, related_name="opening")
    at = models.DateTimeField()
    count = models.PositiveIntegerField(default=0)


class LinkDelivery(models.Model):
    """One try to send a link by e-mail and what came of it. The address is a personal value under its digest."""

    class State(models.TextChoices):
        WAITING = "waiting", _("on its way")
        SENT = "sent", _("sent")
        FAILED = "failed", _("not sent")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    link = models.ForeignKey(CustomerLink, on_delete=models.PROTECT, related_name="deliveries")
    address_digest = models.CharField(max_length=64)
    state = models.CharField(max_length=7, choices=State.choices, default=State.WAITING)
    problem = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["-at", "-id"]


class Noticed(Written):
    """What a customer says does not seem right, after the pickup was signed. It stands beside what was signed.

    The client's key is its primary key. `in_time`: within the branch's hours after pickup, as they were then.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="noticed")
    leg = models.ForeignKey(Leg, on_delete=models.PROTECT, related_name="noticed")
    link = models.ForeignKey(CustomerLink, on_delete=models.PROTECT, related_name="noticed")
    station_number = models.PositiveSmallIntegerField(null=True, help_text=_("Empty: somewhere else."))
    place = models.CharField(max_length=120, blank=True)
    mark = models.ForeignKey(Mark, on_delete=models.PROTECT, null=True, related_name="noticed")
    words = models.CharField(max_length=1000)
    at = models.DateTimeField()
    hours_after_pickup = models.PositiveIntegerField()
    in_time = models.BooleanField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [models.CheckConstraint(condition=~Q(words=""), name="noticed_in_words")]


class NoticedPhoto(KeptPhoto):
    """A photo that came with it: kept under its digest, without its place."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    noticed = models.ForeignKey(Noticed, on_delete=models.PROTECT, related_name="photos")

    class Meta:
        ordering = ["id"]


class LateAnnounced(Written):
    """When the customer says they will be back. The latest counts; only a confirmed extension moves the return.

    `planned_back_at` is the planned return of then; `back_at` equal to it takes an earlier word back. `due` is what
    the page said it comes to by the agreement, empty where it said no price.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="late_announced")
    link = models.ForeignKey(CustomerLink, on_delete=models.PROTECT, related_name="late_announced")
    planned_back_at = models.DateTimeField()
    back_at = models.DateTimeField()
    due = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    words = models.CharField(max_length=1000, blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(back_at__gte=models.F("planned_back_at"), back_at__gt=models.F("at")),
                name="announced_for_later",
            )
        ]
