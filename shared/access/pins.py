"""The PIN by which a person takes over a shared tablet on which they signed in with their password before.

It is short because it is typed with gloves on, so it never stands alone: it opens only a device that already knows the
person (DevicePerson), and five wrong ones in a row ask for the password again.
"""

from datetime import datetime

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.utils.translation import gettext as _

from shared.access.models import Person
from shared.ids import uuid7
from shared.ledger.writing import append

FEWEST, MOST = 4, 8
RUN = "01234567890"
# The column in the middle of the keys, down and up: as likely to be tried as 1234.
BY_THE_KEYS = {"2580", "0852"}


class Refused(ValueError):
    """A sentence about what cannot be, and the input it belongs to."""

    def __init__(self, sentence: str, field: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


def why_not(pin: str) -> str:
    """One sentence why this cannot be a PIN; empty when it can."""
    if not (pin.isascii() and pin.isdigit() and FEWEST <= len(pin) <= MOST):
        return _("A PIN has 4 to 8 digits and nothing else.")
    if _is_guessed_first(pin):
        return _("This PIN is among the first that anybody tries, as 0000 and 1234 are. Take another.")
    return ""


def _is_guessed_first(pin: str) -> bool:
    """One digit over and over, a run up or down, a short pattern repeated, or straight down the keys."""
    repeated = any(pin == pin[:size] * (len(pin) // size) for size in (1, 2, 3, 4) if size < len(pin))
    return repeated or pin in RUN or pin in RUN[::-1] or pin in BY_THE_KEYS


@transaction.atomic
def set_pin(person: Person, *, password: str, pin: str, at: datetime, device: str = "") -> None:
    """Sets or changes the PIN of a person who proves it by the password. Raises Refused at the field."""
    if not person.check_password(password):
        raise Refused(_("This is not your password. The PIN stays as it was."), "password")
    if sentence := why_not(pin):
        raise Refused(sentence, "pin")
    is_change = bool(person.pin)
    person.pin = make_password(pin)
    person.save(update_fields=["pin"])
    append(
        chain=person.pk, kind="pin.set", payload={"changed": is_change}, by=person, key=uuid7(), happened_at=at,
        subject=person.pk, device=device,
    )  # fmt: skip


def fits(person: Person, pin: str) -> bool:
    return bool(person.pin) and check_password(pin, person.pin)
