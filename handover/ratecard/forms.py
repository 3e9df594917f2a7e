"""What is typed about a rate card beside its values: from which day it counts, and a note; or a file."""

from django import forms


class CardForm(forms.Form):
    valid_from = forms.DateField(
        label="Counts from", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={
            "required": "Say from which day it counts.",
            "invalid": "This is no day. Write it as 2026-11-02: year, month, day.",
        },
    )  # fmt: skip
    note = forms.CharField(
        max_length=120, required=False, help_text="Such as Season 2027.",
        error_messages={"max_length": "There is room for 120 letters."},
    )  # fmt: skip


class FileForm(forms.Form):
    file = forms.FileField(
        label="CSV file", help_text="Rows of path and value, as a card goes out.",
        error_messages={"required": "Choose a file first.", "empty": "This file is empty."},
    )  # fmt: skip
