"""A date and time as the clocks of a zone show it. Of an hour that comes twice it is asked which is meant."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy

from shared.clock import TwiceThatDay, UnknownZone, from_wall, local, typed_wall, zone_of
from shared.phrasebook import said

WHICH = [
    ("", gettext_lazy("Which of the two?")),
    ("0", gettext_lazy("The first, before the clocks go back")),
    ("1", gettext_lazy("The second, after it")),
]


def came_twice(typed: str, zone: str) -> bool:
    try:
        from_wall(typed_wall(typed), zone)
    except TwiceThatDay:
        return True
    except ValueError:
        return False
    return False


class WallClockWidget(forms.MultiWidget):
    """The time, and beside it which of two: shown only where the clocks showed it twice."""

    use_fieldset = False

    def __init__(self) -> None:
        self.zone = ""
        time = forms.DateTimeInput(attrs={"type": "datetime-local"})
        which = forms.Select(attrs={"aria-label": gettext_lazy("Which of the two")}, choices=WHICH)
        super().__init__({"": time, "which": which})

    def zone_name(self) -> str:
        return self.zone or timezone.get_current_timezone_name()

    def decompress(self, value: Any) -> list[str]:
        if not isinstance(value, datetime):
            return [str(value or ""), ""]
        here = local(value, self.zone_name())
        typed = f"{here:%Y-%m-%dT%H:%M}"
        return [typed, str(here.fold) if came_twice(typed, self.zone_name()) else ""]

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context: dict[str, Any] = super().get_context(name, value, attrs)
        typed, which = context["widget"]["subwidgets"]
        if not came_twice(typed["value"] or "", self.zone_name()):
            which["attrs"]["hidden"] = True
        return context

    def id_for_label(self, id_: str, index: str | None = None) -> str:
        return f"{id_}_0" if id_ else ""


class WallClockField(forms.MultiValueField):
    """Gives the instant. `zone` is the active one where none is set."""

    def __init__(self, **kwargs: Any) -> None:
        parts = (forms.CharField(), forms.ChoiceField(choices=WHICH, required=False))
        super().__init__(parts, widget=WallClockWidget(), require_all_fields=False, **kwargs)

    def in_zone(self, zone: str) -> None:
        self.widget.zone = zone

    def clean(self, value: Sequence[str] | None) -> datetime | None:
        typed, which = [*(value or ()), "", ""][:2]
        if not typed:
            if self.required:
                raise ValidationError(self.error_messages["required"], code="required")
            return None
        return self.compress([typed, which])

    def compress(self, data_list: Sequence[str]) -> datetime:
        typed, which = data_list
        try:
            return from_wall(
                typed_wall(typed), self.widget.zone_name(), fold=int(which) if which in {"0", "1"} else None
            )
        except ValueError as problem:
            raise ValidationError(said(str(problem))) from problem


def posted_zone(data: Mapping[str, Any] | None, fallback: str) -> str:
    """The zone that a form names, or the fallback where it names none that there is."""
    name = str((data or {}).get("zone", "")).strip()
    try:
        zone_of(name)
    except UnknownZone:
        return fallback
    return name
