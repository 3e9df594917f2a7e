"""Signing in, and what is kept for the person."""

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.utils.translation import gettext_lazy as _

from shared.access.models import Person

LONGEST_NAME = Person._meta.get_field("username").max_length or 0


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": _("Name and password do not go together. Check both; capital letters count in the password."),
        "inactive": _("This person no longer works here. An administrator can change that."),
    }

    def clean_username(self) -> str:
        """Longer than any name it is nobody's; PostgreSQL would not even count the try."""
        name = str(self.cleaned_data["username"])
        if len(name) > LONGEST_NAME:
            raise self.get_invalid_login_error()
        return name


class PreferencesForm(forms.ModelForm[Person]):
    class Meta:
        model = Person
        fields = ["light", "hand", "language"]
        widgets = dict.fromkeys(fields, forms.RadioSelect)


class NewPasswordForm(PasswordChangeForm):
    error_messages = {
        "password_incorrect": _("This is not your password now. Nothing was changed; capital letters count."),
        "password_mismatch": _("The two new passwords are not the same. Nothing was changed."),
    }
