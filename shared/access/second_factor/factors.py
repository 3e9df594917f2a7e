"""The factors of a person: what they have, adding and taking away, each with its entry in the ledger."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.totp.internal.auth import TOTP
from allauth.mfa.webauthn.internal.auth import WebAuthn
from django.db import transaction
from django.utils.translation import gettext as _

from shared.access.models import DevicePerson, Person, SecondFactorReset
from shared.access.pins import Refused
from shared.access.second_factor.policy import must_have
from shared.access.sessions import end_all
from shared.canonical import Json
from shared.ids import uuid7
from shared.ledger.personal import worded
from shared.ledger.writing import append

Type = Authenticator.Type
LONGEST_NAME, LONGEST_REASON = 40, 300


@dataclass(frozen=True, slots=True)
class Factors:
    app: Authenticator | None
    passkeys: Sequence[Authenticator]
    codes: Authenticator | None

    @property
    def count(self) -> int:
        """Without the recovery codes, which stand for a factor that was lost."""
        return len(self.passkeys) + bool(self.app)

    @property
    def codes_left(self) -> int:
        return len(self.codes.wrap().get_unused_codes()) if self.codes else 0

    @property
    def codes_are_new(self) -> bool:
        """Nobody has said yet that they are kept: until then they can be seen."""
        return bool(self.codes) and not self.codes.wrap().did_view  # type: ignore[union-attr]


def factors_of(person: Person) -> Factors:
    rows = list(Authenticator.objects.filter(user=person).order_by("created_at", "pk"))
    one = {row.type: row for row in rows}
    return Factors(one.get(Type.TOTP), [row for row in rows if row.type == Type.WEBAUTHN], one.get(Type.RECOVERY_CODES))


@transaction.atomic
def add_app(person: Person, secret: str, *, at: datetime) -> None:
    """In place of the one before, as after a change of phone."""
    Authenticator.objects.filter(user=person, type=Type.TOTP).delete()
    TOTP.activate(person, secret)
    _added(person, "app", at)


@transaction.atomic
def add_passkey(person: Person, name: str, credential: dict[str, Any], *, at: datetime) -> None:
    name = " ".join(name.split())[:LONGEST_NAME] or _("Passkey of %(day)s") % {"day": f"{at:%Y-%m-%d}"}
    WebAuthn.add(person, name, credential)
    _added(person, "passkey", at)


def _added(person: Person, what: str, at: datetime) -> None:
    RecoveryCodes.activate(person)
    _entry(person, "second_factor.added", {"what": what}, by=person, at=at)


@transaction.atomic
def new_codes(person: Person, *, at: datetime) -> None:
    """Those before open nothing any more."""
    Person.objects.select_for_update().get(pk=person.pk)
    Authenticator.objects.filter(user=person, type=Type.RECOVERY_CODES).delete()
    RecoveryCodes.activate(person)
    _entry(person, "second_factor.new_codes", {}, by=person, at=at)


@transaction.atomic
def remove(person: Person, pk: int, *, at: datetime) -> None:
    """The app or a passkey. Raises Refused for the last one of a person who must have one."""
    Person.objects.select_for_update().get(pk=person.pk)
    factors = factors_of(person)
    row = next((row for row in [factors.app, *factors.passkeys] if row and row.pk == pk), None)
    if row is None:
        return
    if factors.count == 1 and must_have(person):
        raise Refused(_("Your role needs one second factor. Add another first; then this one can go."), "remove")
    gone = Authenticator.objects.filter(user=person) if factors.count == 1 else Authenticator.objects.filter(pk=pk)
    gone.delete()
    what = "app" if row.type == Type.TOTP else "passkey"
    _entry(person, "second_factor.removed", {"what": what}, by=person, at=at)


@transaction.atomic
def reset(person: Person, *, reason: str, by: Person, at: datetime) -> SecondFactorReset:
    """All of them, for who has lost them; signed in nowhere any more. Raises Refused at the field."""
    reason = " ".join(reason.split())
    if person.pk == by.pk:
        raise Refused(
            _("Nobody resets their own. Another administrator can, or a recovery code lets you in."), "reason"
        )
    if not 3 <= len(reason) <= LONGEST_REASON:
        raise Refused(_("Say in 3 to %(most)s characters why, and how you know who asks.") % {"most": LONGEST_REASON},
                      "reason")  # fmt: skip
    gone = Authenticator.objects.filter(user=person).exclude(type=Type.RECOVERY_CODES).count()
    Authenticator.objects.filter(user=person).delete()
    DevicePerson.objects.filter(person=person).update(second_at=None)
    row = SecondFactorReset.objects.create(person=person, by=by, at=at, reason=reason)
    told: dict[str, Json] = {"factors": gone, "sessions": end_all(person), "reason": worded(reason)}
    _entry(person, "second_factor.reset", told, by=by, at=at)
    return row


def tell_of_reset(person: Person, *, at: datetime) -> SecondFactorReset | None:
    """The last one that the person has not been told of; told from now on."""
    row = person.second_factor_resets.filter(told_at=None).select_related("by").first()
    if row:
        person.second_factor_resets.filter(told_at=None).update(told_at=at)
    return row


def has_second_factor_follows(instance: Authenticator, **rest: object) -> None:
    """After an Authenticator was saved or deleted."""
    has = Authenticator.objects.filter(user_id=instance.user_id).exclude(type=Type.RECOVERY_CODES).exists()
    Person.objects.filter(pk=instance.user_id).update(has_second_factor=has)
    if "user" in instance._state.fields_cache:
        instance.user.has_second_factor = has


def _entry(person: Person, kind: str, payload: dict[str, Json], *, by: Person, at: datetime) -> None:
    append(
        chain=person.pk, kind=kind, payload=payload, by=by, key=uuid7(), happened_at=at, subject=person.pk
    )  # fmt: skip
