"""When the customer will be back: day and time by the branch's clock, which is the active one."""

from datetime import datetime

from django import forms
from django.utils.translation import gettext_lazy as _

from handover.acting import CannotBe
from handover.trip.wall_clock import WallClockField

FIELD = "back_at"


class BackAtForm(forms.Form):
    back_at = WallClockField(
        label=_("When you will be back"), error_messages={"required": _("Give the day and the time.")}
    )

    def said(self) -> datetime:
        """Raises CannotBe at the field."""
        if not self.is_valid():
            raise CannotBe(str(self.errors[FIELD][0]), FIELD)
        back_at: datetime = self.cleaned_data[FIELD]
        return back_at

    def refuse(self, problem: CannotBe) -> None:
        """What the action said of the time stands at its field too."""
        if problem.field == FIELD and self.is_bound and not self.errors:
            self.add_error(FIELD, problem.sentence)
