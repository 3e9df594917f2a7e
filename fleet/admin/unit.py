"""Units, with what differs from their layout, their kits and their due dates."""

from typing import Any, ClassVar

from django.contrib import admin
from django.db.models import ForeignKey, Min, QuerySet
from django.forms import ModelChoiceField
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from fleet.admin.living import UnitStoresRow
from fleet.imports.pages import CsvAdmin
from fleet.imports.units import UnitResource
from fleet.models import DueDate, Instrument, Kit, Unit, UnitInstrument, UnitKit
from shared.admin import RoleAdmin, RoleTabular


class OfItsLayout(RoleTabular):
    """Rows that name a thing of the unit's own layout."""

    chosen_from: ClassVar[type[Instrument] | type[Kit]]

    def formfield_for_foreignkey(
        self, db_field: "ForeignKey[Any, Any]", request: HttpRequest, **kwargs: Any
    ) -> ModelChoiceField[Any] | None:
        if db_field.related_model is self.chosen_from and request.resolver_match:
            unit = request.resolver_match.kwargs.get("object_id")
            kwargs["queryset"] = self.chosen_from.objects.filter(station__layout__units=unit)
        return super().formfield_for_foreignkey(db_field, request, **kwargs)


class OverrideRows(OfItsLayout):
    model = UnitInstrument
    chosen_from = Instrument
    verbose_name_plural = _("tanks, cylinders and gauges that differ from the layout")


class KitRows(OfItsLayout):
    model = UnitKit
    chosen_from = Kit
    verbose_name_plural = _("kits in it now")


class DueDateRows(RoleTabular):
    model = DueDate


@admin.register(Unit)
class UnitAdmin(CsvAdmin, RoleAdmin):
    resource_classes = (UnitResource,)
    branch_path = "branch"
    list_display = ("number", "plate", "layout", "branch", "odometer_km", "due_next", "retired")
    list_filter = (
        ("branch", admin.RelatedOnlyFieldListFilter),
        "layout",
        "retired",
        ("due_dates__due_on", admin.DateFieldListFilter),
    )
    list_select_related = ("branch", "layout")
    search_fields = ("number", "plate", "vin")
    fieldsets = (
        (None, {"fields": (("number", "plate"), ("branch", "layout"))}),
        (_("Identity"), {"fields": (("vin", "vin_has_check_digit"), ("odometer_km", "in_service_on"), "retired")}),
    )

    def get_inlines(self, request: HttpRequest, obj: Any) -> list[Any]:
        """What can differ is known once the unit has its layout."""
        return [OverrideRows, UnitStoresRow, KitRows, DueDateRows] if obj else []

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        units: QuerySet[Any] = super().get_queryset(request)
        with_due: QuerySet[Any] = units.annotate(due_next=Min("due_dates__due_on"))
        return with_due

    @admin.display(description=_("due next"), ordering="due_next", empty_value="none")
    def due_next(self, unit: Any) -> Any:
        return unit.due_next
