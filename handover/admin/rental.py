"""Bookings at the setting-up desk: in and out as CSV, terms changed until the pickup begins, read after that.

What was answered, priced, signed and recorded is not here: it has its own pages and cannot be edited anywhere.
"""

from datetime import datetime
from typing import Any

from django import forms
from django.contrib import admin
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from fleet.imports.cells import BadCell, wall_text, wall_time
from fleet.imports.pages import CsvAdmin
from handover.acting import Act, CannotBe
from handover.rental.changing import BookingTerms, change_booking, check_terms
from handover.rental.imports import BookingResource
from handover.rental.models import Driver, Leg, Rental, RentalExtra
from shared.access.roles import Right
from shared.admin import RoleAdmin, RoleTabular, person_of
from shared.ids import uuid7
from shared.money import exponent, money_text, round_half_up
from shared.phrasebook import said

LOCAL = gettext_lazy("Local time of the branch, as 2026-08-18 10:00.")


class WallTimeField(forms.CharField):
    """A time as the clocks of the branch show it; `zone` is set by the form."""

    zone = "UTC"

    def prepare_value(self, value: Any) -> Any:
        return wall_text(value, self.zone) if isinstance(value, datetime) else value

    def clean(self, value: Any) -> datetime:
        try:
            return wall_time(super().clean(value), self.zone)
        except BadCell as problem:
            raise ValidationError(said(str(problem))) from problem

    def has_changed(self, initial: Any, data: Any) -> bool:
        return super().has_changed(self.prepare_value(initial), data)


class BookingForm(forms.ModelForm[Rental]):
    planned_out_at = WallTimeField(help_text=LOCAL)
    planned_back_at = WallTimeField(help_text=LOCAL)

    class Meta:
        model = Rental
        fields = (
            "planned_out_at", "planned_back_at", "charged_days", "liability_option", "excess", "deposit_held",
        )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, WallTimeField):
                field.zone = self.instance.branch.zone
        for name in {"excess", "deposit_held"} & set(self.initial):
            self.initial[name] = round_half_up(self.initial[name], exponent(self.instance.currency))

    def clean(self) -> dict[str, Any]:
        """What the action says cannot be is said at the field."""
        cleaned = super().clean() or {}
        if not self.errors:
            try:
                check_terms(self.instance, BookingTerms(**cleaned))
            except CannotBe as problem:
                self.add_error(problem.field if problem.field in self.fields else None, problem.sentence)
        return cleaned


class ReadOnlyRows(RoleTabular):
    can_delete = False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class LegRows(ReadOnlyRows):
    model = Leg
    fields = ("number", "unit", "started_at", "ended_at", "ended_by", "cause")


class DriverRows(ReadOnlyRows):
    model = Driver
    fields = ("name", "licence_expires_on")


class ExtraRows(ReadOnlyRows):
    model = RentalExtra
    fields = ("name", "covers", "price", "purchased_at")


@admin.register(Rental)
class RentalAdmin(CsvAdmin, RoleAdmin):
    form = BookingForm
    resource_classes = (BookingResource,)
    import_right = Right.BOOK
    change_right = Right.BOOK
    branch_path = "branch"
    list_display = ("number", "customer", "units", "out_local", "back_local", "branch", "state")
    list_filter = ("state", ("branch", admin.RelatedOnlyFieldListFilter))
    list_select_related = ("branch", "customer")
    search_fields = ("number", "customer__name", "outside_reference", "legs__unit__number", "legs__unit__plate")
    inlines = (LegRows, DriverRows, ExtraRows)
    readonly_fields = (
        "number", "branch", "customer", "state", "outside_reference",
        "out_local", "back_local", "excess_held", "deposit",
    )  # fmt: skip

    def get_fieldsets(self, request: HttpRequest, obj: Any = None) -> Any:
        """Signed terms are read as the branch knows them: its clock, its currency."""
        signed = ("out_local", "back_local", "charged_days", "liability_option", "excess_held", "deposit")
        terms = BookingForm.Meta.fields if self.has_change_permission(request, obj) else signed
        agreement = ("number", "state", "branch", "customer", "outside_reference")
        return ((None, {"fields": agreement}), (_("Terms"), {"fields": terms}))

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        return super().get_queryset(request).prefetch_related("legs__unit")

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Bookings are entered on their own page, or come as CSV."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return super().has_change_permission(request, obj) and (obj is None or obj.state == Rental.State.BOOKED)

    def save_model(self, request: HttpRequest, obj: Any, form: Any, change: Any) -> None:
        act = Act(by=person_of(request), at=timezone.now(), key=uuid7())
        change_booking(rental=obj, terms=BookingTerms(**form.cleaned_data), act=act)

    @admin.display(description="excess")
    def excess_held(self, rental: Rental) -> str:
        return money_text(rental.excess, rental.currency, rental.branch.locale)

    @admin.display(description=gettext_lazy("deposit held"))
    def deposit(self, rental: Rental) -> str:
        return money_text(rental.deposit_held, rental.currency, rental.branch.locale)

    @admin.display(description="units")
    def units(self, rental: Rental) -> str:
        return ", ".join(leg.unit.number for leg in rental.legs.all())

    @admin.display(description=gettext_lazy("out, local time"), ordering="planned_out_at")
    def out_local(self, rental: Rental) -> str:
        return wall_text(rental.planned_out_at, rental.branch.zone)

    @admin.display(description=gettext_lazy("back, local time"), ordering="planned_back_at")
    def back_local(self, rental: Rental) -> str:
        return wall_text(rental.planned_back_at, rental.branch.zone)
