"""What is typed: a code, the name of a passkey, the password once more, the reason of a reset."""

from django import forms
from django.utils.translation import gettext_lazy as _

from shared.access.second_factor.factors import LONGEST_NAME, LONGEST_REASON

CODE = {"inputmode": "numeric", "autocomplete": "one-time-code", "autofocus": True, "maxlength": "32"}


class CodeForm(forms.Form):
    code = forms.CharField(label=_("Code"), max_length=32, widget=forms.TextInput(attrs=CODE))


class PasskeyForm(forms.Form):
    """`answer` is filled by the script."""

    name = forms.CharField(
        label=_("A name for it, such as “key on my ring”"), required=False, max_length=LONGEST_NAME,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )  # fmt: skip


class PasswordForm(forms.Form):
    password = forms.CharField(
        label=_("Your password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password", "autofocus": True}),
    )


class ResetForm(forms.Form):
    reason = forms.CharField(
        label=_("Why, and how you know who asks"), max_length=LONGEST_REASON, widget=forms.Textarea(attrs={"rows": 3})
    )
