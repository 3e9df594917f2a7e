"""Tokens of programs, who they act as, which keys they used, how often they asked."""

from functools import cached_property

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext

from handover.api.scopes import RIGHTS_OF, SCOPE_WORDS, Scope
from handover.written import Written
from shared.access.models import Person
from shared.access.roles import Right
from shared.ids import uuid7


class ServicePerson(Person):
    """Who a token acts as: posted to branches as people are, and unable to sign in.

    It has no role, so that nothing outside the interface lets it do anything; `scopes` come with the token.
    """

    scopes: frozenset[Scope] = frozenset()

    class Meta:
        proxy = True
        app_label = "handover"

    def may(self, right: Right) -> bool:
        return any(right in RIGHTS_OF[scope] for scope in self.scopes)


class ApiToken(Written):
    """What a program shows. Only the digest of its secret is kept; it has 256 random bits, so one hashing is enough."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    service = models.OneToOneField(ServicePerson, models.PROTECT, related_name="api_token")
    name = models.CharField(max_length=80)
    secret_sha256 = models.CharField(max_length=64)
    scopes = models.JSONField()
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        app_label = "handover"
        ordering = ["-made_at", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(revoked_at__isnull=True, revoked_by__isnull=True)
                | Q(revoked_at__isnull=False, revoked_by__isnull=False),
                name="api_token_revoked_by_somebody",
            ),
            models.CheckConstraint(condition=Q(expires_at__gt=models.F("made_at")), name="api_token_lasts_a_while"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def granted(self) -> frozenset[Scope]:
        """A scope that is no longer known grants nothing."""
        return frozenset(Scope(scope) for scope in self.scopes if scope in set(Scope))

    @cached_property
    def scope_words(self) -> list[tuple[str, str]]:
        return [(scope.value, gettext(SCOPE_WORDS[scope])) for scope in Scope if scope in self.granted]


class ApiUse(models.Model):
    """How often a token asked in the minute that began at `minute`, and when it was last seen: one row a token."""

    token = models.OneToOneField(ApiToken, models.CASCADE, primary_key=True, related_name="use")
    minute = models.DateTimeField()
    count = models.PositiveIntegerField(default=0)

    class Meta:
        app_label = "handover"

    def __str__(self) -> str:
        return f"{self.token}: {self.count}"


class ApiKey(models.Model):
    """A caller's key that was used, with what was answered: ids and numbers alone.

    Both digests are keyed with the token's secret, which is not kept: who has the database cannot try names on them.
    """

    token = models.ForeignKey(ApiToken, models.CASCADE, related_name="keys")
    key_digest = models.CharField(max_length=64)
    body_digest = models.CharField(max_length=64)
    answer = models.JSONField()
    at = models.DateTimeField(db_index=True)

    class Meta:
        app_label = "handover"
        constraints = [models.UniqueConstraint(fields=["token", "key_digest"], name="api_key_once_a_token")]

    def __str__(self) -> str:
        return self.key_digest[:12]
