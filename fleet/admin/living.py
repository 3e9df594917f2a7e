"""Rows on the pages of layouts, units and branches: stores, loads, places on the Cab card, nights and emergencies."""

from typing import TYPE_CHECKING, Any

from django.forms import ModelChoiceField
from django.http import HttpRequest

from fleet.models import CardPlace, EmergencyStep, Kit, LayoutStores, Load, NightPlace, UnitStores
from shared.access.roles import Right
from shared.admin import RoleStacked, RoleTabular

if TYPE_CHECKING:
    from django.db.models import ForeignKey

CHARGING = (("battery_chemistry", "battery_ah"), ("charger_a", "drive_charger_a", "solar_w"))


class LayoutStoresRow(RoleStacked):
    model = LayoutStores
    fields = (*CHARGING, ("fresh_l", "waste_l", "cassette_l"), "gas")


class UnitStoresRow(RoleStacked):
    model = UnitStores
    fields = CHARGING


class LoadRows(RoleTabular):
    model = Load


class CardPlaceRows(RoleTabular):
    model = CardPlace

    def formfield_for_foreignkey(
        self, db_field: "ForeignKey[Any, Any]", request: HttpRequest, **kwargs: Any
    ) -> ModelChoiceField[Any] | None:
        """Kits of this layout; a new layout has none yet."""
        if db_field.related_model is Kit and request.resolver_match:
            layout = request.resolver_match.kwargs.get("object_id")
            kwargs["queryset"] = Kit.objects.filter(station__layout=layout)
        return super().formfield_for_foreignkey(db_field, request, **kwargs)


class EmergencyStepRows(RoleTabular):
    model = EmergencyStep
    change_right = Right.PEOPLE


class NightPlaceRows(RoleTabular):
    model = NightPlace
    change_right = Right.PEOPLE
