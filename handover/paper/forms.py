"""What is typed about sheets of paper. Each form gives what its action takes."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from fleet.models import Branch, Layout
from handover.paper.queries import legs_to_key_in
from handover.rental.forms import WallTimeField
from handover.rental.models import Leg, Rental


class PrintForm(forms.Form):
    layout = forms.ModelChoiceField(Layout.objects.none(), label=_("Layout"), empty_label=None)
    many = forms.IntegerField(
        label=_("How many"), initial=10,
        error_messages={"required": _("Say how many."), "invalid": _("Sheets are whole: 10, not 2.5.")},
    )  # fmt: skip

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        own = Layout.objects.filter(units__branch=branch, units__retired=False).distinct().order_by("name")
        self.fields["layout"].queryset = own  # type: ignore[attr-defined]


def _words_of(leg: Leg) -> str:
    way = _("return") if leg.rental.state == Rental.State.OUT else _("pickup")
    return f"{leg.rental.number}, {leg.rental.customer}, {leg.unit.number}: {way}"


class OfALeg(forms.Form):
    """`legs` by their id, as the form found them."""

    leg = forms.ChoiceField(label=_("Rental"), error_messages={"required": _("Choose the rental on the sheet.")})

    def __init__(self, *args: Any, branch: Branch, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.legs = {str(leg.pk): leg for leg in self.found(branch)}
        self.fields["leg"].choices = [("", _("Choose")), *((pk, _words_of(leg)) for pk, leg in self.legs.items())]  # type: ignore[attr-defined]

    def found(self, branch: Branch) -> list[Leg]:
        return list(legs_to_key_in(branch))


class KeyInForm(OfALeg):
    begun_at = WallTimeField(label=_("Begun at"), error_messages={"required": _("Give the time on the sheet.")})
    gone_at = WallTimeField(
        label=_("Signed at"), error_messages={"required": _("Give the time on the sheet.")},
        help_text=_("When the unit left, or the return was closed."),
    )  # fmt: skip
    scan = forms.FileField(
        label=_("Photo of the sheet"), widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
        error_messages={"required": _("Take a photo of the sheet: the signatures stand on it.")},
    )  # fmt: skip


class LostForm(OfALeg):
    """Without a rental nothing left on it."""

    left_at = WallTimeField(label=_("The unit left at"), required=False)
    words = forms.CharField(
        label=_("What became of it"), max_length=300,
        error_messages={"required": _("Say who had it last, and where it was looked for.")},
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["leg"].required = False
        self.fields["leg"].help_text = _("Empty: nothing left on it, it was spoilt or lost blank.")

    def found(self, branch: Branch) -> list[Leg]:
        return [leg for leg in legs_to_key_in(branch) if leg.started_at is None]

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        if said.get("leg") and not said.get("left_at") and "left_at" not in self.errors:
            self.add_error("left_at", _("Give the time at which the unit left."))
        return said
