"""Tank curves of a layout, entered by hand; and what is kept of every unit's fills and curves, to be read."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.contrib import admin
from django.core.exceptions import ValidationError
from django.db.models import Q, QuerySet
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from consumables.models import Fill, TankCurve
from consumables.tank import NotACurve
from consumables.tank import TankCurve as Curve
from shared.admin import JsonList, RoleAdmin, person_of


class CurveForm(forms.ModelForm[TankCurve]):
    litres = JsonList(
        help_text=gettext_lazy(
            "At even places of the gauge from empty to full, such as [0, 16, 30, 42, 53, 63, 72.5, 81.5, 90]."
        )
    )

    class Meta:
        model = TankCurve
        fields = ("layout", "code", "valid_from", "learned_from", "litres")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["layout"].required = True

    def clean_litres(self) -> list[str]:
        """As text, exactly as typed: no float stays near a reading."""
        try:
            litres = [Decimal(str(each)) for each in self.cleaned_data["litres"]]
            Curve(tuple(litres))
        except (InvalidOperation, NotACurve) as problem:
            raise ValidationError(_("A curve begins at 0, never falls, and ends at the usable litres.")) from problem
        return [f"{each:f}" for each in litres]


class OnlyAdded(RoleAdmin):
    """What was put to use, or read, stays as it was."""

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        own = Q(unit__branch__in=person_of(request).branch_ids)
        rows = super().get_queryset(request)
        return rows.filter(own | Q(unit=None)) if self.model is TankCurve else rows.filter(own)

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


@admin.register(TankCurve)
class TankCurveAdmin(OnlyAdded):
    form = CurveForm
    list_display = ("code", "unit", "layout", "valid_from", "learned_from", "made_by")
    list_select_related = ("unit", "layout", "made_by")

    def save_model(self, request: HttpRequest, obj: TankCurve, form: Any, change: Any) -> None:
        obj.made_by, obj.at = person_of(request), timezone.now()
        super().save_model(request, obj, form, change)


@admin.register(Fill)
class FillAdmin(OnlyAdded):
    list_display = ("unit", "instrument", "at", "before", "after", "litres", "to_click", "by")
    list_select_related = ("unit", "instrument", "by")

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False
