"""What is typed as a job is done: only what its kind leaves behind is asked for."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from fleet.models import Instrument
from handover.photo.taking_in import take_in
from handover.tank.forms import QuantityField
from handover.turnaround.closing import LEVELS, PUMPED, DoneWith, instrument_of
from handover.turnaround.models import TurnaroundJob
from handover.turnaround.needed import Kind
from handover.walkround.reading import DIMENSIONS

HUNDREDTH = Decimal("0.01")
AFTER = _("Read it again afterwards: the next pickup starts from it.")


def _typed() -> forms.TextInput:
    return forms.TextInput(attrs={"autocomplete": "off", "inputmode": "text"})


class DoneForm(forms.Form):
    note = forms.CharField(label=_("What was done"), required=False, max_length=300, widget=_typed())
    photo = forms.FileField(label=_("Photo, of the receipt or of the work"), required=False)

    def __init__(self, job: TurnaroundJob, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.job = job
        asked = _asked(job)
        self.fields = asked | self.fields

    def done_with(self, *, zone: str) -> DoneWith:
        """Raises CannotBe at `photo`."""
        said = dict(self.cleaned_data)
        sent = said.pop("photo", None)
        given = {name: value for name, value in said.items() if value not in {None, ""}}
        for name in ("litres", "tare_kg"):
            if name in given:
                given[name] = given[name].quantize(HUNDREDTH)
        return DoneWith(**given, photo=take_in(sent.read(), zone=zone) if sent else None)


def _asked(job: TurnaroundJob) -> dict[str, forms.Field]:
    """The fields of this kind of job, in the order of the work."""
    if job.kind in LEVELS:
        return _of_a_level(job)
    if job.kind == Kind.KIT:
        number = forms.CharField(label=_("Number of the new seal"), required=False, max_length=20, widget=_typed())
        return {"number": number, "until": _until(_("Expires"), is_required=False)}
    if job.kind == Kind.DUE:
        return {"until": _until(_("Good until"), is_required=True)}
    return {}


def _of_a_level(job: TurnaroundJob) -> dict[str, forms.Field]:
    instrument = instrument_of(job)
    if instrument is None:
        return {}
    found: dict[str, forms.Field] = {}
    if job.kind in PUMPED:
        found["before"] = _quantity(instrument, _("Gauge before"), is_required=False)
        found["litres"] = QuantityField(
            dimension="volume", unit="L", label=_("Litres on the receipt"), required=False, widget=_typed()
        )
        found["cost"] = forms.DecimalField(label=_("Paid"), required=False, max_digits=10, decimal_places=2)
    if job.kind == Kind.GAS:
        found["serial"] = forms.CharField(
            label=_("Serial, when another cylinder was put in"), required=False, max_length=40, widget=_typed()
        )
        found["tare_kg"] = QuantityField(
            dimension="mass", unit="kg", label=_("Its tare, stamped on it"), required=False, widget=_typed()
        )
    label = _("Weight on the scale after") if job.kind == Kind.GAS else _("Reading after")
    found["reading"] = _quantity(instrument, label, is_required=True)
    return found


def _quantity(instrument: Instrument, label: Any, *, is_required: bool) -> QuantityField:
    return _OptionalQuantity(
        dimension=DIMENSIONS[instrument.unit], unit=instrument.unit, label=label, widget=_typed(),
        required=is_required, error_messages={"required": AFTER}, help_text=f"{instrument.name}, {instrument.unit}",
    )  # fmt: skip


class _OptionalQuantity(QuantityField):
    def clean(self, value: Any) -> Any:
        return None if not self.required and not str(value or "").strip() else super().clean(value)


def _until(label: Any, *, is_required: bool) -> forms.DateField:
    return forms.DateField(
        label=label, required=is_required, widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"required": _("Write the new date of the tag or the certificate: a day to come.")},
    )  # fmt: skip


class AddForm(forms.Form):
    what = forms.CharField(
        label=_("Something else to do"), max_length=160, widget=_typed(),
        error_messages={"required": _("Say what is to do, such as: bulb of the step light.")},
    )  # fmt: skip


class ReasonForm(forms.Form):
    reason = forms.CharField(
        label=_("Why it is not needed"), max_length=300, widget=_typed(),
        error_messages={"required": _("Say why it is not needed: the next host reads it.")},
    )  # fmt: skip
