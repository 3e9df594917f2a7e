"""Layouts and, one page each, their stations with everything that is done there."""

from typing import Any

from django import forms
from django.contrib import admin
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from fleet.admin.living import CardPlaceRows, LayoutStoresRow, LoadRows
from fleet.models import CheckItem, Equipment, Fitting, Instrument, Kit, Layout, PhotoView, Station, Topic
from fleet.models.branch import validate_currency
from shared.admin import RoleAdmin, RoleStacked, RoleTabular


class StationRows(RoleTabular):
    model = Station
    fields = ("number", "name", "where", "x_mm", "y_mm")
    show_change_link = True


class FittingRows(RoleTabular):
    model = Fitting


class LayoutForm(forms.ModelForm[Layout]):
    class Meta:
        model = Layout
        fields = "__all__"  # noqa: DJ007

    def clean_currency(self) -> str:
        code: str = self.cleaned_data["currency"].upper()
        validate_currency(code)
        return code

    def clean_axles_mm(self) -> list[int]:
        axles: list[int] = self.cleaned_data["axles_mm"]
        if not axles or not all(type(axle) is int and axle > 0 for axle in axles):
            raise forms.ValidationError(_("The axles are whole millimetres from the nose, such as [950, 4850]."))
        return axles


class StationForm(forms.ModelForm[Station]):
    class Meta:
        model = Station
        fields = "__all__"  # noqa: DJ007

    def clean_way(self) -> list[list[int]]:
        way: list[list[int]] = self.cleaned_data["way"]
        if not all(isinstance(point, list) and [type(mm) for mm in point] == [int, int] for point in way):
            raise forms.ValidationError(_("The way is made of points in whole millimetres, such as [[1590, -480]]."))
        return way


class KitForm(forms.ModelForm[Kit]):
    class Meta:
        model = Kit
        fields = "__all__"  # noqa: DJ007

    def clean_contents(self) -> list[str]:
        contents: list[str] = self.cleaned_data["contents"]
        if not all(isinstance(item, str) and item.strip() for item in contents):
            raise forms.ValidationError(
                _('The contents are names in quotation marks, such as ["bandage", "scissors"].')
            )
        return contents


@admin.register(Layout)
class LayoutAdmin(RoleAdmin):
    form = LayoutForm
    list_display = ("name", "body", "length_mm", "height_mm", "max_mass_kg", "berths", "belted_seats", "currency")
    list_filter = ("body", "fuel")
    search_fields = ("name", "code")
    inlines = (StationRows, FittingRows, LayoutStoresRow, LoadRows, CardPlaceRows)
    fieldsets = (
        (None, {"fields": (("name", "code"), ("body", "fuel", "traffic_side"))}),
        (gettext_lazy("Size"), {"fields": (("length_mm", "width_mm", "height_mm"), ("width_mirrors_mm", "axles_mm"))}),
        (gettext_lazy("Mass"), {"fields": (("running_mass_kg", "max_mass_kg"),)}),
        (gettext_lazy("On the road"), {"fields": (("speed_kmh", "tyre_front_bar", "tyre_rear_bar"),)}),
        (gettext_lazy("People and prices"), {"fields": (("berths", "belted_seats"), "currency")}),
    )  # fmt: skip


class ItemRows(RoleStacked):
    """Things done at a station: a row opens where it stands, since each has more to say than a line holds."""

    classes = ("collapse",)
    ends = (("order", "code", "retired"),)


class CheckRows(ItemRows):
    model = CheckItem
    fields = ("text", "hint", ("good", "bad", "at"), "safety", "stop_sentence", *ItemRows.ends)


class InstrumentRows(ItemRows):
    model = Instrument
    fields = (
        ("name", "instrument"), ("measures", "unit", "at"), ("capacity", "steps"), ("resolution", "half_width"),
        ("tare_kg", "net_kg"), "hint", *ItemRows.ends,
    )  # fmt: skip


class KitRows(ItemRows):
    model = Kit
    form = KitForm
    fields = ("name", "sealed", "contents", *ItemRows.ends)


class EquipmentRows(ItemRows):
    model = Equipment
    fields = (("name", "quantity"), ("price", "life_months", "age_reduced"), *ItemRows.ends)


class TopicRows(ItemRows):
    model = Topic
    fields = (("title", "severity"), "text", *ItemRows.ends)


class PhotoViewRows(ItemRows):
    model = PhotoView
    fields = (("name", "at"), "shows", "reads", ("eye_x_mm", "eye_y_mm"), ("aim_x_mm", "aim_y_mm"), *ItemRows.ends)


@admin.register(Station)
class StationAdmin(RoleAdmin):
    form = StationForm
    list_display = ("number", "name", "layout", "where")
    list_display_links = ("number", "name")
    list_filter = ("layout",)
    list_select_related = ("layout",)
    search_fields = ("name", "layout__name")
    fields = ("layout", ("number", "name"), "where", ("x_mm", "y_mm"), "way")
    inlines = (CheckRows, InstrumentRows, KitRows, EquipmentRows, TopicRows, PhotoViewRows)

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:
        """A station stays in its layout: units of the other one would lose it."""
        return ("layout",) if obj else ()
