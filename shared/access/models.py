"""People who work with Levelpeg."""

from functools import cached_property
from typing import ClassVar
from uuid import UUID

from django.conf import settings
from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.utils.translation import gettext_lazy as _

from shared.access.roles import RIGHTS, ROLE_NAMES, Right, Role
from shared.dates import dated
from shared.ids import uuid7


class PersonManager(UserManager["Person"]):
    pass


class Person(AbstractUser):
    """Someone who signs in. What they may do follows from the role, where from their postings."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    role = models.CharField(max_length=20, choices=[(role.value, _(name)) for role, name in ROLE_NAMES.items()])
    # Kept for the person, not the tablet: a left-handed host finds the screen mirrored wherever they sign in.
    light = models.CharField(max_length=5, choices=[("day", _("Daylight")), ("dusk", _("Dusk"))], default="day")
    hand = models.CharField(max_length=5, choices=[("right", _("Right")), ("left", _("Left"))], default="right")
    language = models.CharField(max_length=8, choices=settings.LANGUAGES, default=settings.LANGUAGE_CODE)

    # Hashed as a password is; empty: none yet, then only the password takes a shared tablet over.
    pin = models.CharField(max_length=128, blank=True, editable=False)
    # Follows the rows of allauth's Authenticator, so that no page has to ask for them.
    has_second_factor = models.BooleanField(default=False, db_default=False, editable=False)

    objects: ClassVar[PersonManager] = PersonManager()

    class Meta:
        app_label = "shared"
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    @property
    def short_name(self) -> str:
        """First name and initial, as the yard says it: Isla M."""
        return f"{self.first_name} {self.last_name[:1]}.".strip() if self.last_name else str(self)

    def may(self, right: Right) -> bool:
        return self.is_active and right in RIGHTS.get(Role(self.role), frozenset()) if self.role else False

    @cached_property
    def branch_ids(self) -> frozenset[UUID]:
        """The branches this person is posted to; fleet owns the postings."""
        return frozenset(self.postings.values_list("branch_id", flat=True))


class Device(models.Model):
    """A tablet, or a browser at the desk: known from the first sign-in on it, under a random id that it made itself."""

    id = models.UUIDField(primary_key=True, editable=False)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    # Of the entries it numbered, the highest that arrived with all before it.
    contiguous_seq = models.PositiveBigIntegerField(default=0)
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        app_label = "shared"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(revoked_at__isnull=True, revoked_by__isnull=True)
                | models.Q(revoked_at__isnull=False, revoked_by__isnull=False),
                name="device_revoked_by_somebody",
            )
        ]

    def __str__(self) -> str:
        return _("Device %(pk)s, since %(made_at)s") % {"pk": str(self.pk)[-6:], "made_at": dated(self.made_at)}


class DevicePerson(models.Model):
    """A person has signed in on a device with their password: from then on their PIN takes it over."""

    device = models.ForeignKey(Device, models.PROTECT, related_name="people")
    person = models.ForeignKey(Person, models.PROTECT, related_name="devices")
    first_at = models.DateTimeField()
    last_at = models.DateTimeField()
    # In a row; the right PIN or the password sets it back.
    wrong_pins = models.PositiveSmallIntegerField(default=0)
    # When the second factor was last given on this device; for a shift the PIN is enough after it.
    second_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        app_label = "shared"
        ordering = ["-last_at"]
        constraints = [models.UniqueConstraint(fields=["device", "person"], name="known_once_on_a_device")]

    def __str__(self) -> str:
        return _("%(person)s on %(device)s") % {"person": self.person, "device": self.device}


class SignedIn(models.Model):
    """Where a person is signed in: beside the session, which names nobody that could be searched for.

    A row whose session is over means nothing any more, and goes when somebody signs in.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    session_key = models.CharField(max_length=40, unique=True)
    person = models.ForeignKey(Person, models.CASCADE, related_name="signed_in")
    device = models.UUIDField(null=True, blank=True, db_index=True)
    browser = models.CharField(max_length=40, blank=True)
    since = models.DateTimeField()
    seen_at = models.DateTimeField(db_index=True)

    class Meta:
        app_label = "shared"
        ordering = ["-seen_at"]

    def __str__(self) -> str:
        return _("%(person)s, since %(since)s") % {"person": self.person, "since": dated(self.since)}


class SecondFactorReset(models.Model):
    """An administrator took all second factors of a person away; the person is told at the next sign-in."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="second_factor_resets")
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    reason = models.CharField(max_length=300)
    told_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        app_label = "shared"
        ordering = ["-at"]

    def __str__(self) -> str:
        return _("%(person)s, by %(by)s") % {"person": self.person, "by": self.by}
