"""What is typed about money: how it moved and under which reference. Never a card number."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from handover.settlement.actions import Money
from handover.settlement.models import Movement
from shared.clock import YEARS

REFERENCE = gettext_lazy("Authorisation or receipt number. Never a card number.")


class DayInput(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class MoneyForm(forms.Form):
    amount = forms.DecimalField(
        label=gettext_lazy("Amount"),
        max_digits=12,
        error_messages={
            "required": gettext_lazy("Give the amount."),
            "invalid": gettext_lazy("Write an amount such as 500.00."),
        },
    )
    method = forms.ChoiceField(
        label=gettext_lazy("How"), choices=Movement.Method.choices, widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Say how it moves.")},
    )  # fmt: skip
    reference = forms.CharField(
        label=gettext_lazy("Reference"),
        max_length=60,
        required=False,
        help_text=REFERENCE,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def money(self) -> Money:
        said = self.cleaned_data
        return Money(said["amount"], said["method"], said["reference"])


class HoldForm(MoneyForm):
    expires_on = forms.DateField(
        label=gettext_lazy("Lapses after"), required=False, widget=DayInput(),
        help_text=gettext_lazy("The last day to capture it. For a card."),
        error_messages={"invalid": gettext_lazy("This is no day. Write it as 2026-08-18.")},
    )  # fmt: skip

    field_order = ("method", "amount", "expires_on", "reference")


class SpanForm(forms.Form):
    """Days and format of a download."""

    start = forms.DateField(
        label=gettext_lazy("From"), widget=DayInput(), error_messages={"required": gettext_lazy("Give the first day.")}
    )
    end = forms.DateField(
        label=gettext_lazy("To"), widget=DayInput(), error_messages={"required": gettext_lazy("Give the last day.")}
    )
    format = forms.ChoiceField(choices=[("csv", "CSV"), ("json", "JSON")], label=gettext_lazy("As"))

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or {}
        start: date | None = said.get("start")
        end: date | None = said.get("end")
        for name, day in (("start", start), ("end", end)):
            if day and day.year not in YEARS:
                self.add_error(
                    name,
                    _("%(year)s is no year of a rental. Write the day as 2026-08-18.")
                    % {"year": format(day.year, "04")},
                )
        if start and end and end < start:
            self.add_error("end", _("This is before the first day. The two may be swapped."))
        return said
