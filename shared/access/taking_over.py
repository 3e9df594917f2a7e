"""A shared tablet changes hands: who is known on it, and who may take it over by PIN or by password.

Knowing the device matters more than the PIN: a PIN alone, typed anywhere else, opens nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shared.access.models import Device, DevicePerson, Person
from shared.access.pins import fits
from shared.ids import uuid7
from shared.ledger.writing import append

MOST_WRONG = 5


@dataclass(frozen=True, slots=True)
class Known:
    """A person of a device. Without `by_pin` only the password takes over: no PIN yet, or too many wrong ones."""

    person: Person
    by_pin: bool
    is_stopped: bool


@dataclass(frozen=True, slots=True)
class Answer:
    """`person` has the tablet now, or nobody new has and `sentence` says why."""

    person: Person | None
    sentence: str = ""


def remember(device_id: UUID, person: Person, *, at: datetime, by_password: bool = False) -> Device:
    """Ties person and device. The password also forgives the wrong PINs before it."""
    device, _made = Device.objects.get_or_create(pk=device_id, defaults={"made_by": person})
    last = {"last_at": at} | ({"wrong_pins": 0} if by_password else {})
    DevicePerson.objects.update_or_create(
        device=device, person=person, defaults=last, create_defaults={"first_at": at, **last}
    )
    return device


def people_of(device_id: UUID | None) -> Sequence[Known]:
    """Who works here and has signed in on this device, the latest first; nobody on a revoked one."""
    rows = DevicePerson.objects.filter(
        device=device_id, device__revoked_at=None, person__is_active=True
    ).select_related("person")
    return [_known(row) for row in rows]


def known_on(device_id: UUID | None, person_id: UUID) -> Known | None:
    return next((known for known in people_of(device_id) if known.person.pk == person_id), None)


def _known(row: DevicePerson) -> Known:
    stopped = row.wrong_pins >= MOST_WRONG
    return Known(row.person, by_pin=bool(row.person.pin) and not stopped, is_stopped=stopped)


@transaction.atomic
def take_over_by_pin(device_id: UUID, person_id: UUID, pin: str, *, was: Person | None, at: datetime) -> Answer:
    """Whoever was on the tablet hands it on. A wrong PIN is counted and kept in the ledger of the device."""
    row = _row(device_id, person_id)
    if row is None:
        return Answer(None, _("Nobody of this name has signed in on this tablet. Sign in with name and password."))
    if not row.person.pin:
        return Answer(None, _("%(name)s has no PIN yet. The password opens the tablet.") % {"name": row.person})
    if row.wrong_pins >= MOST_WRONG:
        return Answer(None, stopped_sentence(row.person))
    if not fits(row.person, pin):
        return _wrong(row, at)
    return _taken(row, was, at, by="pin")


@transaction.atomic
def take_over_by_password(
    device_id: UUID, person_id: UUID, password: str, *, was: Person | None, at: datetime
) -> Answer:  # fmt: skip
    """For who has no PIN, or mistyped it too often: from then on the PIN works again."""
    row = _row(device_id, person_id)
    if row is None or not row.person.check_password(password):
        return Answer(None, _("This is not the password. Capital letters count."))
    return _taken(row, was, at, by="password")


def stopped_sentence(person: Person) -> str:
    return _(
        "%(number)s wrong PINs in a row for %(name)s on this tablet. Now it takes the password; after that the PIN "
        "works again."
    ) % {"number": MOST_WRONG, "name": person}


def _row(device_id: UUID, person_id: UUID) -> DevicePerson | None:
    """Locked, so that two who guess at once are counted one after the other."""
    rows = DevicePerson.objects.select_for_update().select_related("person", "device")
    return rows.filter(
        device=device_id, person=person_id, device__revoked_at=None, person__is_active=True
    ).first()  # fmt: skip


def _wrong(row: DevicePerson, at: datetime) -> Answer:
    row.wrong_pins += 1
    row.save(update_fields=["wrong_pins"])
    _write(row, "tablet.wrong_pin", {"person": str(row.person_id), "in_a_row": row.wrong_pins}, None, at)
    left = MOST_WRONG - row.wrong_pins
    if not left:
        return Answer(None, stopped_sentence(row.person))
    return Answer(
        None,
        ngettext(
            "Not the PIN of %(name)s. %(left)s more try, then it takes the password.",
            "Not the PIN of %(name)s. %(left)s more tries, then it takes the password.",
            left,
        ) % {"name": row.person, "left": left},
    )  # fmt: skip


def _taken(row: DevicePerson, was: Person | None, at: datetime, *, by: str) -> Answer:
    row.wrong_pins, row.last_at = 0, at
    row.save(update_fields=["wrong_pins", "last_at"])
    told: dict[str, str | int | None] = {"from": str(was.pk) if was else None, "to": str(row.person_id), "by": by}
    _write(row, "tablet.taken_over", told, row.person, at)
    return Answer(row.person)


def _write(row: DevicePerson, kind: str, payload: dict[str, str | int | None], by: Person | None, at: datetime) -> None:
    append(
        chain=row.device_id, kind=kind, payload=payload, by=by, key=uuid7(), happened_at=at, subject=row.person_id,
        device=str(row.device_id),
    )  # fmt: skip
