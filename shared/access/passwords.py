"""Which passwords cannot be: beside Django's own, those that anybody who knows this house tries first."""

from datetime import datetime

from django.conf import settings
from django.contrib.auth.forms import SetPasswordForm
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from shared.access.models import Person
from shared.access.roles import Role
from shared.ids import uuid7
from shared.ledger.writing import append

# What stands on the sign over the gate and on every page.
WORDS = ("levelpeg", "level pegging", "level-pegging", "walk-round", "handover", "camper", *Role)
# A word of the house may be in a password, but not be most of it.
MOST = 0.6


class NotAWordOfTheHouse:
    """For AUTH_PASSWORD_VALIDATORS."""

    def validate(self, password: str, user: Person | None = None) -> None:
        folded = _folded(password)
        words = [_folded(word) for word in (*WORDS, settings.PUBLIC_URL.partition("//")[2])]
        if any(word in folded and len(word) > len(folded) * MOST for word in words):
            raise ValidationError(_("This password is made of a word that everybody here knows. Take others."))

    def get_help_text(self) -> str:
        return _("Not the name of the product, of a role or of this server.")


def _folded(text: str) -> str:
    return "".join(letter for letter in text.casefold() if letter.isalnum())


@transaction.atomic
def keep_password(person: Person, form: "SetPasswordForm[Person]", *, at: datetime) -> None:
    form.save()
    append(
        chain=person.pk, kind="password.changed", payload={}, by=person, key=uuid7(), happened_at=at, subject=person.pk
    )  # fmt: skip
