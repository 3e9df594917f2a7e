"""What is typed about a rate card beside its values: from which day it counts, and a note; or a file."""

from django import forms
from django.utils.translation import gettext_lazy as _


class CardForm(forms.Form):
    valid_from = forms.DateField(
        label=_("Counts from"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": _("Say from which day it counts."),
            "invalid": _("This is no day. Write it as 2026-11-02: year, month, day."),
        },
    )  # fmt: skip
    note = forms.CharField(
        max_length=120, required=False, help_text=_("Such as Season 2027."),
        error_messages={"max_length": _("There is room for 120 letters.")},
    )  # fmt: skip


class FileForm(forms.Form):
    file = forms.FileField(
        label=_("CSV file"), help_text=_("Rows of path and value, as a card goes out."),
        error_messages={"required": _("Choose a file first."), "empty": _("This file is empty.")},
    )  # fmt: skip
