"""A pressure as it was read off a gauge. Nothing of it is kept."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from consumables.tyres import impossible_pressure, pressure_check
from shared.units import Quantity, quantity, value_in

HUNDREDTH = Decimal("0.01")


class PressureForm(forms.Form):
    axle = forms.ChoiceField(
        choices=[("front", gettext_lazy("Front")), ("rear", gettext_lazy("Rear"))], label=gettext_lazy("Axle")
    )
    read = forms.DecimalField(
        min_value=Decimal(0), max_value=Decimal(2000), decimal_places=2, label=gettext_lazy("As the gauge reads")
    )
    unit = forms.ChoiceField(
        choices=[(unit, unit) for unit in ("bar", "psi", "kPa")], label=gettext_lazy("Unit of the gauge")
    )
    is_cold = forms.BooleanField(
        required=False, label=gettext_lazy("Cold: it has stood for three hours, or come less than 3 km")
    )

    def clean(self) -> dict[str, Any]:
        """Refuses what no tyre here has, with the unit that was likely meant."""
        cleaned = super().clean() or {}
        if {"read", "unit"} <= set(cleaned):
            bar = quantity(value_in(self.pressure, "bar").quantize(HUNDREDTH), "bar")
            if problem := impossible_pressure(bar):
                self.add_error("read", problem.in_language(_))
        return cleaned

    @property
    def pressure(self) -> Quantity:
        return quantity(self.cleaned_data["read"], self.cleaned_data["unit"])

    def verdict(self, plate: Quantity) -> str:
        """What to do, in the language of the page."""
        found = pressure_check(self.pressure, plate, is_cold=self.cleaned_data["is_cold"])
        return found.in_language(_) if found else _("As the plate has it, as far as a gauge can tell.")
