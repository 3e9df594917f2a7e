"""How a vehicle came back: when it was at the gate, who was there, and who found the keys."""

from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from handover.rental.forms import WallTimeField
from handover.walkround.arrival import KeyDrop
from handover.walkround.models import WalkRound

Mode = WalkRound.Mode
MEANING = {
    Mode.ATTENDED: gettext_lazy("They walk round with you, and sign the statement."),
    Mode.KEY_DROP: gettext_lazy(
        "The keys lay in the box. Nobody signs for the customer: lines found without them say so, and the statement "
        "stays open to objection."
    ),
    Mode.ABSENT: gettext_lazy(
        "They brought it and left before the end. As at a key drop: no signature, the lines say so, open to objection."
    ),
}


class PlateForm(forms.Form):
    """To be sure to stand before the right vehicle."""

    plate = forms.CharField(
        label=gettext_lazy("Plate on the vehicle"), required=False, max_length=20,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}),
    )  # fmt: skip


class ReturnForm(PlateForm):
    """Its cleaned data are what start_walk takes."""

    arrived_at = WallTimeField(
        label=gettext_lazy("At the gate"), error_messages={"required": gettext_lazy("Say when it was at the gate.")}
    )
    mode = forms.ChoiceField(
        label=gettext_lazy("Who is here"), choices=Mode.choices, initial=Mode.ATTENDED, widget=forms.RadioSelect
    )
    # Needed at a key drop, which only the other answers tell.
    keys_found_at = WallTimeField(label=gettext_lazy("Keys found at"), required=False)
    keys_found_by = forms.CharField(label=gettext_lazy("Found by"), required=False, max_length=120)
    arrived_until = WallTimeField(
        label=gettext_lazy("And not later than"), required=False,
        help_text=gettext_lazy(
            "Only if nobody saw it come: above stands the earliest time it can have been, here the latest. Lateness "
            "counts from the earliest."
        ),
    )  # fmt: skip

    moved_first = forms.BooleanField(
        label=gettext_lazy("It was moved or washed before this"), required=False,
        help_text=gettext_lazy("Damage found now then waits for a manager before it is charged."),
    )  # fmt: skip

    @property
    def modes(self) -> list[tuple[Any, Any]]:
        """Each choice with what it means."""
        return [(option, MEANING[Mode(option.data["value"])]) for option in self["mode"]]

    def clean_arrived_at(self) -> datetime:
        arrived: datetime = self.cleaned_data["arrived_at"]
        if arrived > timezone.now():
            raise ValidationError(_("That is still to come. Give the time it was at the gate, or now."))
        return arrived

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        drop = self._drop() if said.get("mode") == Mode.KEY_DROP else None
        kept = {name: said[name] for name in ("plate", "arrived_at", "mode") if name in said}
        return kept | ({"drop": drop} if drop else {})

    def _drop(self) -> KeyDrop | None:
        said = self.cleaned_data
        for name, sentence in (
            ("keys_found_at", _("Say when the keys were found.")),
            ("keys_found_by", _("Say who found the keys: everything else at a key drop rests on it.")),
        ):
            if not said.get(name) and name not in self.errors:
                self.add_error(name, sentence)
        if self.errors:
            return None
        return KeyDrop(said["keys_found_at"], said["keys_found_by"], said["arrived_until"], said["moved_first"])
