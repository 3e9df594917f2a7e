"""What is typed about a trip: the party, and for each night a place of the list or another one with its degrees."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from fleet.models import NightPlace
from handover.cabcard.actions import MOST_PEOPLE, NightSaid, PartySaid
from handover.cabcard.models import HABITS, PlannedNight
from handover.cabcard.queries import CardFacts

OTHER = "other"
TEN_THOUSANDTH = Decimal("0.0001")


def a_figure(label: Any, least: int, most: int, **said: Any) -> forms.DecimalField:
    """A number between two bounds; the sentences say what can be."""
    outside = format_lazy(_("This is a figure from {least} to {most}."), least=least, most=most)
    sentences: dict[str, Any] = dict.fromkeys(("invalid", "min_value", "max_value", "max_decimal_places"), outside)
    return forms.DecimalField(
        label=label, min_value=least, max_value=most, error_messages=sentences | {"required": _("Give a figure.")},
        **said,
    )  # fmt: skip


class PartyForm(forms.Form):
    people = forms.IntegerField(
        label=_("People"), min_value=1, max_value=MOST_PEOPLE,
        error_messages={"required": _("Say how many people go."), "invalid": _("People are whole: 2, not 2.5.")},
    )  # fmt: skip
    habit = forms.ChoiceField(
        label=_("How they use water"), widget=forms.RadioSelect, choices=HABITS,
        error_messages={"required": _("Choose one.")},
    )  # fmt: skip
    drive_h = a_figure(
        _("Hours driven on a usual day"), 0, 12, decimal_places=1, help_text=_("Driving charges the house battery.")
    )
    volts = a_figure(
        _("House battery, volts"), 8, 16, decimal_places=2, required=False,
        help_text=_("Only where no display shows a percentage. Measured at rest."),
    )  # fmt: skip
    rested_h = a_figure(_("Hours at rest"), 0, 99, decimal_places=1, required=False)
    celsius = a_figure(_("Battery temperature, °C"), -30, 60, decimal_places=0, required=False)
    charging = forms.BooleanField(label=_("Charger on, or sun on the panel"), required=False)

    @property
    def asks_for_volts(self) -> bool:
        return bool(self["volts"].value() or self["volts"].errors or self["rested_h"].errors or self["celsius"].errors)

    def said(self) -> PartySaid:
        return PartySaid(**self.cleaned_data)


class NightForm(forms.Form):
    """One night, found by its day. A place of the list brings its degrees and what is there with it."""

    place = forms.ChoiceField(label=_("Place"), required=False)
    name = forms.CharField(label=_("Name of another place"), max_length=60, required=False)
    north = a_figure(_("Degrees north"), -90, 90, required=False)
    east = a_figure(_("Degrees east"), -180, 180, required=False)
    mains = forms.BooleanField(label=_("Mains hook-up"), required=False)
    water = forms.BooleanField(label=_("Drinking water"), required=False)
    waste = forms.BooleanField(label=_("Dump point"), required=False)
    frost = forms.BooleanField(label=_("Frost may come"), required=False)

    def __init__(self, sent: Any = None, *, day: date, places: Sequence[NightPlace], initial: dict[str, Any]) -> None:
        super().__init__(sent, prefix=day.isoformat(), initial=initial)
        self.day, self.places = day, {str(place.pk): place for place in places}
        names = [(key, place.name) for key, place in self.places.items()]
        self.fields["place"].choices = [("", _("Open")), *names, (OTHER, _("Another place"))]  # type: ignore[attr-defined]

    @property
    def services(self) -> list[forms.BoundField]:
        return [self[name] for name in ("mains", "water", "waste")]

    @property
    def is_other(self) -> bool:
        """Unfolded from the start: chosen before, or with something in it that cannot be."""
        return bool(self["place"].value() == OTHER or any(self[name].errors for name in ("name", "north", "east")))

    def said(self) -> NightSaid:
        given, chosen = self.cleaned_data, self.cleaned_data["place"]
        if chosen == OTHER or (not chosen and given["name"].strip()):
            return NightSaid(
                self.day, given["name"].strip(), _degrees(given["north"]), _degrees(given["east"]), given["mains"],
                given["water"], given["waste"], frost=given["frost"],
            )  # fmt: skip
        if place := self.places.get(chosen):
            return NightSaid(
                self.day, place.name, place.latitude, place.longitude, place.mains, place.water, place.waste,
                frost=given["frost"],
            )  # fmt: skip
        return NightSaid(self.day, frost=given["frost"])


def _degrees(value: Decimal | None) -> Decimal | None:
    """Eleven metres are near enough for a sunset."""
    return None if value is None else value.quantize(TEN_THOUSANDTH)


def party_initial(facts: CardFacts) -> dict[str, Any]:
    """As planned before, or what is reckoned with until then."""
    party, row = facts.party, facts.planned
    kept = {name: getattr(row, name) for name in ("volts", "rested_h", "celsius", "charging")} if row else {}
    return {"people": party.people, "habit": party.habit.value, "drive_h": party.drive_h, **kept}


def night_initial(row: PlannedNight | None, places: Sequence[NightPlace]) -> dict[str, Any]:
    if row is None:
        return {}
    chosen = next((str(place.pk) for place in places if _same(place, row)), OTHER if row.name else "")
    given = {"place": chosen, "frost": row.frost}
    if chosen != OTHER:
        return given
    services = {name: bool(getattr(row, name)) for name in ("mains", "water", "waste")}
    return given | services | {"name": row.name, "north": row.latitude, "east": row.longitude}


def _same(place: NightPlace, row: PlannedNight) -> bool:
    return (place.name, place.latitude, place.longitude) == (row.name, row.latitude, row.longitude)
