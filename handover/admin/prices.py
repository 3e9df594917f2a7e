"""Rate cards and Extras. A published rate card is read, not changed: a new one begins as a draft and follows it."""

import json
from typing import Any

from django import forms
from django.contrib import admin
from django.core.exceptions import ValidationError
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from handover.admin.rules_check import check_covers, check_rules
from handover.rental.models import ExtraOffer, RateCard, Rental
from shared.admin import RoleAdmin


class Indented(json.JSONEncoder):
    """JSON over several lines, so that a person finds a price in it."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs | {"indent": 2})


def json_field(help_text: Any, *, rows: int) -> forms.JSONField:
    widget = forms.Textarea(attrs={"rows": rows, "cols": 90, "spellcheck": "false"})
    return forms.JSONField(encoder=Indented, widget=widget, help_text=help_text)


class RateCardForm(forms.ModelForm[RateCard]):
    rules = json_field(
        _("Fuel, gas, kits, late return and the other rules. The branch's opening hours are added."), rows=30
    )

    class Meta:
        model = RateCard
        fields = ("branch", "number", "valid_from", "note", "rules")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        _check_json(self, "rules", check_rules)
        return cleaned


class ExtraOfferForm(forms.ModelForm[ExtraOffer]):
    covers = json_field(_('Limits and tiers, such as {"limits": {"fuel_litres": "20"}}.'), rows=8)

    class Meta:
        model = ExtraOffer
        fields = ("branch", "code", "name", "price", "covers", "sold_text", "retired")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        _check_json(self, "covers", check_covers)
        return cleaned


def _check_json(form: Any, name: str, check: Any) -> None:
    """Prices are read in the branch's currency and zone: without a branch there is nothing to check against."""
    branch = form.cleaned_data.get("branch") or getattr(form.instance, "branch", None)
    if branch is None or name not in form.cleaned_data:
        return
    try:
        check(form.cleaned_data[name], branch)
    except ValidationError as problem:
        form.add_error(name, problem)


@admin.register(RateCard)
class RateCardAdmin(RoleAdmin):
    form = RateCardForm
    branch_path = "branch"
    list_display = ("number", "branch", "valid_from", "note", "draft", "in_use")
    list_display_links = ("number", "branch")
    list_filter = (("branch", admin.RelatedOnlyFieldListFilter),)
    list_select_related = ("branch",)

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return super().has_change_permission(request, obj) and (obj is None or obj.draft)

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return super().has_delete_permission(request, obj) and (obj is None or obj.draft)

    def get_changeform_initial_data(self, request: HttpRequest) -> dict[str, Any]:
        """A new card begins as the newest one of the person's branches."""
        newest = self.get_queryset(request).order_by("-valid_from", "-number").first()
        start = {"branch": newest.branch, "number": newest.number + 1, "rules": newest.rules} if newest else {}
        return start | super().get_changeform_initial_data(request)

    def save_model(self, request: HttpRequest, obj: Any, form: Any, change: Any) -> None:
        """It counts once it is published, on its own page."""
        obj.draft = True
        super().save_model(request, obj, form, change)

    @admin.display(description=_("in use"), boolean=True)
    def in_use(self, card: RateCard) -> bool:
        return signed_with(card)


def signed_with(card: RateCard) -> bool:
    """Whether a rental was handed over on this card: its promise then names it."""
    return Rental.objects.filter(branch=card.branch_id, frozen__rate_card__id=str(card.pk)).exists()


@admin.register(ExtraOffer)
class ExtraOfferAdmin(RoleAdmin):
    form = ExtraOfferForm
    branch_path = "branch"
    list_display = ("name", "code", "branch", "price", "retired")
    list_filter = (("branch", admin.RelatedOnlyFieldListFilter), "retired")
    list_select_related = ("branch",)
    search_fields = ("name", "code")
