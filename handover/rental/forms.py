"""What is typed about a rental: a new booking, and when a vehicle came back."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from fleet.languages import BRIEFED, BY_CODE
from fleet.models import Branch, Unit
from handover.rental.booking import BookingDetails, ExtraPurchase
from handover.rental.covers import covers_words
from handover.rental.models import ExtraOffer
from shared.clock import from_wall, typed_wall
from shared.money import money_text, symbol_of
from shared.phrasebook import said

LANGUAGES = [(language.code, language.name) for language in BRIEFED]


class LanguageSelect(forms.Select):
    """Each language by its own name, said to be in that language."""

    def create_option(self, name: str, value: Any, *args: Any, **kwargs: Any) -> dict[str, Any]:
        option: dict[str, Any] = super().create_option(name, value, *args, **kwargs)
        language = BY_CODE[str(value)]
        option["attrs"] |= {"lang": language.code, "dir": language.direction}
        return option


class WallTimeField(forms.Field):
    """Date and time as the branch's clock shows them. Of an hour that comes twice the first is meant."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")

    def to_python(self, value: Any) -> datetime | None:
        if not value:
            return None
        try:
            return from_wall(typed_wall(str(value)), timezone.get_current_timezone_name(), fold=0)
        except ValueError as problem:
            raise ValidationError(said(str(problem))) from problem

    def prepare_value(self, value: Any) -> Any:
        return timezone.localtime(value) if isinstance(value, datetime) else value


class ExtrasField(forms.ModelMultipleChoiceField[ExtraOffer]):
    def label_from_instance(self, obj: ExtraOffer) -> str:
        words = covers_words(obj.covers)
        return f"{obj.name}{f' ({words})' if words else ''}, {money_text(obj.price, obj.branch.currency)}"


class BookingForm(forms.Form):
    customer_name = forms.CharField(
        label=gettext_lazy("Customer"),
        max_length=120,
        error_messages={"required": gettext_lazy("A rental needs the customer’s name.")},
    )
    email = forms.EmailField(
        label=gettext_lazy("Email"), required=False, help_text=gettext_lazy("The record goes there."),
        error_messages={"invalid": gettext_lazy("This is no e-mail address. It looks like name@example.org.")},
    )  # fmt: skip
    phone = forms.CharField(label=gettext_lazy("Phone"), max_length=40, required=False)
    language = forms.ChoiceField(
        label=gettext_lazy("Language"),
        choices=LANGUAGES,
        initial="en",
        widget=LanguageSelect,
        help_text=gettext_lazy("The briefing is given in it."),
    )
    drivers = forms.CharField(
        label=gettext_lazy("Drivers"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("One a line, as on the licence."),
    )
    unit = forms.ModelChoiceField(
        Unit.objects.none(),
        label=gettext_lazy("Unit"),
        error_messages={"required": gettext_lazy("Choose the unit that goes out.")},
        empty_label=gettext_lazy("Choose"),
    )
    planned_out_at = WallTimeField(
        label=gettext_lazy("Pickup"), error_messages={"required": gettext_lazy("Give the day and time of the pickup.")}
    )
    planned_back_at = WallTimeField(
        label=gettext_lazy("Return"), error_messages={"required": gettext_lazy("Give the day and time of the return.")}
    )
    charged_days = forms.IntegerField(
        label=gettext_lazy("Charged days"), min_value=1, max_value=365,
        error_messages={
            "required": gettext_lazy("Say how many days are charged."),
            "invalid": gettext_lazy("Days are whole: 4, not 3.5."),
            "min_value": gettext_lazy("At least 1 day is charged."),
            "max_value": gettext_lazy("At most 365 days fit in one rental."),
        },
    )  # fmt: skip
    liability_option = forms.CharField(label=gettext_lazy("Liability option"), max_length=60, required=False)
    excess = forms.DecimalField(
        label=gettext_lazy("Excess"),
        required=False,
        max_digits=12,
        help_text=gettext_lazy("What the customer bears of a damage."),
    )
    deposit_held = forms.DecimalField(label=gettext_lazy("Deposit"), required=False, max_digits=12)
    extras = ExtrasField(
        ExtraOffer.objects.none(), label=gettext_lazy("Extras"), required=False, widget=forms.CheckboxSelectMultiple
    )
    reference = forms.CharField(
        label=gettext_lazy("Number elsewhere"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("The booking’s number in another system."),
    )

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["unit"].queryset = Unit.objects.filter(branch=branch, retired=False)  # type: ignore[attr-defined]
        offers = ExtraOffer.objects.filter(branch=branch, retired=False).select_related("branch")
        self.fields["extras"].queryset = offers  # type: ignore[attr-defined]
        symbol = symbol_of(branch.currency)
        for name in ("excess", "deposit_held"):
            self.fields[name].error_messages["invalid"] = _("Write an amount in %(symbol)s, such as 500.00.") % {
                "symbol": symbol
            }
            self.fields[name].label = f"{self.fields[name].label or name.capitalize()}, {symbol}"

    def details(self, *, at: datetime) -> BookingDetails:
        """Of a valid form; the Extras are bought now."""
        said = self.cleaned_data
        return BookingDetails(
            customer_name=said["customer_name"],
            unit=said["unit"],
            planned_out_at=said["planned_out_at"],
            planned_back_at=said["planned_back_at"],
            charged_days=said["charged_days"],
            email=said["email"],
            phone=said["phone"],
            language=said["language"],
            drivers=tuple(name.strip() for name in said["drivers"].splitlines() if name.strip()),
            liability_option=said["liability_option"],
            excess=said["excess"] or Decimal(0),
            deposit_held=said["deposit_held"] or Decimal(0),
            extras=tuple(ExtraPurchase(offer, at) for offer in said["extras"]),
            reference=said["reference"],
        )
