"""What is typed to take a tablet over, and to set the PIN for it."""

from django import forms
from django.utils.translation import gettext_lazy as _

DIGITS = {"inputmode": "numeric", "autocomplete": "off", "maxlength": "8"}


class PinForm(forms.Form):
    """On the person's own page: whoever finds a tablet open must not give its owner a PIN."""

    password = forms.CharField(
        label=_("Your password"), widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )
    pin = forms.CharField(
        label=_("PIN, 4 to 8 digits"), widget=forms.PasswordInput(attrs=DIGITS), strip=True, max_length=8
    )  # fmt: skip


class TakeOverForm(forms.Form):
    """The PIN, or the password where there is no PIN to take."""

    pin = forms.CharField(
        label=_("PIN"), required=False, widget=forms.PasswordInput(attrs=DIGITS | {"autofocus": True}), max_length=8
    )
    password = forms.CharField(
        label=_("Password"), required=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password", "autofocus": True}),
    )  # fmt: skip

    def __init__(self, *args: object, by_pin: bool, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        del self.fields["password" if by_pin else "pin"]
