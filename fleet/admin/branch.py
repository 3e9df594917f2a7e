"""Branches: made and changed by the administrator, read by the coordinator."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from fleet.admin.living import EmergencyStepRows, NightPlaceRows
from fleet.models import Branch, ClosedDate, OpeningHours, Posting
from shared.access.roles import Right
from shared.admin import RoleAdmin, RoleTabular, person_of


class OpeningHoursRows(RoleTabular):
    model = OpeningHours
    change_right = Right.PEOPLE
    max_num = 7


class ClosedDateRows(RoleTabular):
    model = ClosedDate
    change_right = Right.PEOPLE


@admin.register(Branch)
class BranchAdmin(RoleAdmin):
    branch_path = ""
    change_right = Right.PEOPLE
    list_display = ("name", "code", "zone", "currency", "tax", "unit_system", "traffic_side")
    search_fields = ("name", "code")
    inlines = (OpeningHoursRows, ClosedDateRows, EmergencyStepRows, NightPlaceRows)
    fieldsets = (
        (None, {"fields": ("name", "code", "prefix", "operator", "zone", "locale")}),
        (_("Money"), {"fields": ("currency", "tax_name", "tax_mode", "tax_rate", "tax_rounding", "tax_outside_scope")}),
        (_("Measures and road"), {"fields": ("unit_system", "country", "traffic_side")}),
        (_("Tablets and returns"), {"fields": ("idle_minutes", "objection_days", "dispute_days")}),
    )

    @admin.display(description="tax")
    def tax(self, branch: Branch) -> str:
        return f"{branch.tax_name} {(branch.tax_rate * 100).normalize():f} %, {branch.get_tax_mode_display().lower()}"

    def save_model(self, request: HttpRequest, obj: Any, form: Any, change: Any) -> None:
        super().save_model(request, obj, form, change)
        if not change:
            # Whoever makes a branch works there: it would be out of their own sight otherwise.
            person = person_of(request)
            Posting.objects.create(person=person, branch=obj)
            person.__dict__.pop("branch_ids", None)
