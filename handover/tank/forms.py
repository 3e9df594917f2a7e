"""What is typed of a fill: the gauge before and after, and the pump's receipt."""

import unicodedata
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from handover.photo.taking_in import TakenIn, take_in
from handover.tank.actions import PumpReceipt
from shared.phrasebook import said
from shared.quantities import Unreadable, parse_quantity

GAUGE = _("As it stands, such as 5/8, 62 % or full. Ignition on, settled for half a minute.")
BARE = _("Write it as a part of full, like 5/8, or in percent, like 62 %; or say full or empty.")
LONGEST = 40
PART, HUNDREDTH = Decimal("0.00001"), Decimal("0.01")


class QuantityField(forms.CharField):
    """A typed quantity as a Decimal in the canonical unit. What cannot be read is said at the field."""

    def __init__(self, *, dimension: str, unit: str, **kwargs: Any) -> None:
        self.dimension, self.default_unit = dimension, unit
        super().__init__(max_length=LONGEST, **kwargs)

    def clean(self, value: Any) -> Decimal:
        text = super().clean(value)
        try:
            return parse_quantity(text, dimension=self.dimension, default_unit=self.default_unit)
        except Unreadable as problem:
            raise forms.ValidationError(said(str(problem))) from problem


class GaugeField(QuantityField):
    """Where a gauge stands, in percent of full. A bare figure is refused: 1 may be full, an eighth, or one percent."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(dimension="percent", unit="%", **kwargs)

    def clean(self, value: Any) -> Decimal:
        ends = {"full": 100, "empty": 0, _("full"): 100, _("empty"): 0}
        text = unicodedata.normalize("NFKC", str(value or "").strip().lower())
        if text in ends:
            return Decimal(ends[text])
        if text.replace(".", "").replace(",", "").isdecimal():
            raise forms.ValidationError(BARE)
        return super().clean(value)


def _typed() -> forms.TextInput:
    return forms.TextInput(attrs={"autocomplete": "off", "inputmode": "text"})


class FillForm(forms.Form):
    before = GaugeField(
        label=_("Gauge before"), help_text=GAUGE, widget=_typed(),
        error_messages={"required": _("Say where the gauge stood before.")},
    )  # fmt: skip
    litres = QuantityField(
        dimension="volume", unit="L", label=_("Litres on the receipt"), widget=_typed(),
        error_messages={"required": _("The litres stand on the pump’s receipt.")},
    )  # fmt: skip
    after = GaugeField(
        label=_("Gauge after"), widget=_typed(),
        error_messages={"required": _("Say where the gauge stood after.")},
    )  # fmt: skip
    to_click = forms.BooleanField(label=_("Filled until the pump stopped by itself"), required=False)
    cost = forms.DecimalField(
        label=_("Paid"), required=False, max_digits=10, decimal_places=2,
        error_messages={"invalid": _("Write an amount such as 61.40.")},
    )  # fmt: skip
    photo = forms.FileField(label=_("Photo of the receipt"), required=False)

    def receipt(self) -> PumpReceipt:
        said = self.cleaned_data
        before, after = ((said[name] / 100).quantize(PART) for name in ("before", "after"))
        return PumpReceipt(
            before, after, said["litres"].quantize(HUNDREDTH), to_click=said["to_click"], cost=said["cost"]
        )

    def taken(self, *, zone: str) -> TakenIn | None:
        """The photo with its files kept. Raises CannotBe at `photo`."""
        sent = self.cleaned_data.get("photo")
        return take_in(sent.read(), zone=zone) if sent else None
