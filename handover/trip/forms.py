"""What is typed about a trip. Each form gives what its action takes."""

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from fleet.models import Unit
from handover.rental.models import Rental
from handover.trip.actions import (
    ExtensionTerms,
    FaultSaid,
    NoticeSaid,
    ReceiptSaid,
    ReductionTerms,
    RoadsideSaid,
    SwapPlan,
)
from handover.trip.legs import free_units
from handover.trip.models import LatenessStop, Notice, Whose
from handover.trip.wall_clock import WallClockField, posted_zone
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.clock import UnknownZone, zone_of
from shared.phrasebook import said

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

YES_NO = [("yes", _("Yes")), ("no", _("No"))]


def said_yes(value: str) -> bool:
    return value == "yes"


class DayInput(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


def a_time(label: "StrOrPromise", **said: Any) -> WallClockField:
    return WallClockField(label=label, error_messages={"required": _("Give the day and the time.")}, **said)


def a_day(label: "StrOrPromise", **said: Any) -> forms.DateField:
    sentences = {"required": _("Give the day."), "invalid": _("This is no day. Write it as 2026-08-18.")}
    return forms.DateField(label=label, widget=DayInput(), error_messages=sentences, **said)


def an_amount(label: "StrOrPromise", **said: Any) -> forms.DecimalField:
    sentences = {"required": _("Give the amount."), "invalid": _("Write an amount such as 38.90.")}
    return forms.DecimalField(label=label, max_digits=12, error_messages=sentences, **said)


def a_text(label: "StrOrPromise", length: int, **said: Any) -> forms.CharField:
    return forms.CharField(label=label, max_length=length, error_messages={"required": _("Write it down.")}, **said)


def a_choice(label: "StrOrPromise", choices: Any, **said: Any) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label, choices=choices, widget=forms.RadioSelect, error_messages={"required": _("Choose one.")}, **said
    )


class TripForm(forms.Form):
    """`rental` gives currency, unit of distance and zone; times are the active zone's."""

    def __init__(self, *args: Any, rental: Rental, by: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rental, self.by = rental, by
        for name in ("day_rate", "price", "excess", "cost", "card_amount", "penalty"):
            if name in self.fields:
                self.fields[name].label = f"{self.fields[name].label}, {rental.currency}"


def a_photo(label: "StrOrPromise") -> forms.FileField:
    camera = forms.FileInput(attrs={"accept": "image/*", "capture": "environment"})
    return forms.FileField(label=label, required=False, widget=camera)


class PhotoForm(TripForm):
    photo = a_photo(_("Photo"))


class ExtensionForm(TripForm):
    new_return_at = a_time(_("New return"))
    days = forms.IntegerField(
        label=_("Days more"), min_value=0, help_text=_("As they are charged; 0 for some hours free of charge."),
        error_messages={"required": _("Say how many days."), "invalid": _("Days are whole: 2, not 1.5."),
                        "min_value": _("0 days or more.")},
    )  # fmt: skip
    day_rate = an_amount(_("A day costs"), min_value=None)
    channel = a_text(_("Agreed by"), 60, help_text=_("Phone, message, at the desk."))
    agreed_at = a_time(_("Agreed at"))
    confirmed = a_choice(_("Confirmed in writing"), YES_NO, help_text=_("Only then does the new return count."))

    def said(self) -> ExtensionTerms:
        return ExtensionTerms(**self.cleaned_data | {"confirmed": said_yes(self.cleaned_data["confirmed"])})


class UnitChoice(forms.ModelChoiceField[Unit]):
    def label_from_instance(self, obj: Unit) -> str:
        return f"{obj.number}, {obj.plate}, {obj.layout}"


class OtherUnitForm(TripForm):
    unit = UnitChoice(
        Unit.objects.none(), label=_("The other unit"), empty_label=_("Choose"),
        error_messages={
            "required": _("Choose the unit that goes out."),
            "invalid_choice": _("That unit is not free until the planned return. Choose another."),
        },
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        free = free_units(self.rental, timezone.now(), self.by.branch_ids).select_related("layout")
        self.fields["unit"].queryset = free  # type: ignore[attr-defined]
        self.fields["unit"].help_text = _("Those that nobody else has or gets before the planned return.")


class SwapForm(OtherUnitForm):
    at = a_time(
        _("The first unit was given up"),
        help_text=_("From then on it is no longer this customer’s."),
    )
    cause = a_choice(_("Whose cause"), [row for row in Whose.choices if row[0] != Whose.NOT_KNOWN])
    reason = a_text(_("What happened"), 200)
    place = a_text(_("Where the units change hands"), 120)
    mode = a_choice(
        _("Who is there for the first unit"),
        [row for row in WalkRound.Mode.choices if row[0] != WalkRound.Mode.KEY_DROP],
    )  # fmt: skip
    moved = a_text(_("What moves over"), 200, required=False, help_text=_("Bedding, chairs, luggage."))

    def said(self) -> SwapPlan:
        return SwapPlan(**self.cleaned_data)


class ReceiptForm(PhotoForm):
    ref = a_text(_("Receipt"), 60, help_text=_("Its number, or a name to find it by."))
    bought_at = a_time(_("Bought"))
    amount = an_amount(_("Amount on the receipt"))
    currency = a_text(_("Its currency"), 3, help_text=_("Three letters, such as EUR."))
    card_amount = an_amount(_("Charged to the card"), required=False)
    rate = forms.DecimalField(
        label=_("Or the day’s rate"), max_digits=14, decimal_places=8, required=False,
        help_text=_("One unit of the receipt’s currency in the rental’s."),
        error_messages={"invalid": _("Write a rate such as 0.8612.")},
    )  # fmt: skip
    reason = a_text(_("Why gas was bought"), 200)
    operator_fault = a_choice(_("The branch’s fault"), YES_NO, help_text=_("Less in the cylinder than promised."))

    def clean_currency(self) -> str:
        return str(self.cleaned_data["currency"]).upper()

    def said(self) -> ReceiptSaid:
        said = {name: value for name, value in self.cleaned_data.items() if name != "photo"}
        return ReceiptSaid(**said | {"operator_fault": said_yes(said["operator_fault"])})


class FaultForm(PhotoForm):
    reported_at = a_time(_("Reported"))
    system = a_text(_("What does not work"), 60, help_text=_("Fridge, heating, engine."))
    symptom = a_text(_("What it does"), 300, help_text=_("In the customer’s words."))
    drivable = a_choice(_("Can it be driven"), YES_NO)
    instruction = a_text(_("What they were told to do"), 300, required=False)
    place = a_text(_("Where they are"), 120, required=False)
    odometer = forms.IntegerField(
        label=_("Odometer"),
        required=False,
        error_messages={"invalid": _("Write whole units, such as 41500.")},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["odometer"].label = _("Odometer, %(distance_unit)s") % {
            "distance_unit": self.rental.branch.distance_unit
        }

    def said(self) -> FaultSaid:
        said = {name: value for name, value in self.cleaned_data.items() if name != "photo"}
        return FaultSaid(**said | {"drivable": said_yes(said["drivable"])})


class RoadsideForm(PhotoForm):
    case_reference = a_text(_("Case reference"), 60)
    arrived_at = a_time(_("They arrived"))
    diagnosis = a_text(_("What they found"), 300)
    cause = a_choice(_("Whose cause"), Whose.choices)
    distance = forms.DecimalField(
        label=_("Driven for the branch"), max_digits=7, decimal_places=1, required=False,
        help_text=_("To a workshop, round a detour: it is not the customer’s distance."),
        error_messages={"invalid": _("Write a distance such as 12.5.")},
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["distance"].label = _("Driven for the branch, %(distance_unit)s") % {
            "distance_unit": self.rental.branch.distance_unit
        }

    def said(self) -> RoadsideSaid:
        said = {name: value for name, value in self.cleaned_data.items() if name != "photo"}
        return RoadsideSaid(**said | {"distance": said["distance"] or Decimal(0)})


class WaitForm(TripForm):
    start = a_time(_("Waited from"))
    until = a_time(_("Until"))
    cause = a_text(_("What for"), 200)


class StopForm(TripForm):
    at = a_time(_("From when nothing is late"))
    cause = a_choice(_("Why"), LatenessStop.Cause.choices)
    reference = a_text(_("Reference"), 60, required=False, help_text=_("Of the police or the assistance."))


class DisplacedForm(TripForm):
    at = a_time(_("When"))
    cost = an_amount(_("What it cost"))
    proof = a_text(_("Proof"), 120, help_text=_("The invoice that says so."))


class ReductionForm(TripForm):
    excess = an_amount(_("New excess"))
    price = an_amount(_("Price, paid now"))
    bought_at = a_time(_("Bought"))
    from_at = a_time(_("Counts from"), help_text=_("For what happens after it; never before it was bought."))

    def said(self) -> ReductionTerms:
        return ReductionTerms(**self.cleaned_data)


class NoticeForm(forms.Form):
    """For a rental or for a whole branch: plate and local time find the rental."""

    kind = a_choice(_("Kind"), Notice.Kind.choices, initial=Notice.Kind.FINE)
    ref = a_text(_("Number"), 60)
    authority = a_text(_("From"), 120, help_text=_("The authority or toll road that sent it."))
    plate = a_text(_("Plate"), 16)
    at = a_time(_("Offence or passage"), help_text=_("As the notice says it, on the clocks of its place."))
    zone = a_text(_("Clocks of"), 64, help_text=_("The zone of the place, such as Europe/London."))
    place = a_text(_("Place"), 120, required=False)
    amount = an_amount(_("Amount"))
    penalty = an_amount(_("Of that, for paying late"), required=False)
    handling = a_choice(_("Who pays"), Notice.Handling.choices)
    received_on = a_day(_("Received"))
    deadline_on = a_day(_("Deadline"), required=False)
    customer_told_on = a_day(_("Customer told, with a copy"), required=False, help_text=_("Charged only after that."))
    operator_caused = a_choice(
        _("The branch caused it"),
        YES_NO,
        initial="no",
        help_text=_("An expired vignette, a tag nobody paid."),
    )
    photo = a_photo(_("Photo of it"))

    def __init__(self, *args: Any, zone: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].initial = zone
        self.fields["at"].in_zone(posted_zone(self.data, zone))  # type: ignore[attr-defined]

    def clean_zone(self) -> str:
        name = str(self.cleaned_data["zone"])
        try:
            zone_of(name)
        except UnknownZone as problem:
            raise ValidationError(said(str(problem))) from problem
        return name

    def said(self) -> NoticeSaid:
        said = {name: value for name, value in self.cleaned_data.items() if name != "photo"}
        given = {"penalty": said["penalty"] or Decimal(0), "operator_caused": said_yes(said["operator_caused"])}
        return NoticeSaid(**said | given)


class ToldForm(forms.Form):
    customer_told_on = a_day(_("Customer told, with a copy"))

    def said(self) -> date:
        told: date = self.cleaned_data["customer_told_on"]
        return told


def now_in(*names: str) -> dict[str, Any]:
    """Times that are most likely now."""
    return dict.fromkeys(names, timezone.now())
