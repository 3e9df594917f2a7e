"""What every page of the setting-up desk shares: rights by role, rows by branch, choices among one's own rows.

Django's own permissions are not used: what a person may do follows from the role, where from the postings.
"""

from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.contrib import admin
from django.db.models import ForeignKey, JSONField, QuerySet
from django.http import HttpRequest
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from shared.access.models import Person
from shared.access.roles import Right
from shared.access.scope import scoped
from shared.admin_ledger import InTheLedger

if TYPE_CHECKING:
    AnyModelAdmin = admin.ModelAdmin[Any]
    AnyTabularInline = admin.TabularInline[Any, Any]
    AnyStackedInline = admin.StackedInline[Any, Any]
    AnyInlineFormSet = forms.BaseInlineFormSet[Any, Any, Any]
else:
    AnyInlineFormSet = forms.BaseInlineFormSet
    AnyModelAdmin, AnyTabularInline, AnyStackedInline = admin.ModelAdmin, admin.TabularInline, admin.StackedInline


def person_of(request: HttpRequest) -> Person:
    """Whoever the site let in is signed in, so the user is a person."""
    person = request.user
    assert isinstance(person, Person)  # noqa: S101
    return person


class JsonList(forms.JSONField):
    """A list in brackets; nothing written is an empty one."""

    def __init__(self, **kwargs: Any) -> None:
        # What is kept is compared, not a hidden copy that the page carries.
        super().__init__(**kwargs | {"required": False, "show_hidden_initial": False})

    def clean(self, value: Any) -> list[Any]:
        cleaned = super().clean(value)
        if cleaned is not None and not isinstance(cleaned, list):
            raise forms.ValidationError(_('This is a list in brackets, such as [1, 2] or ["bandage"].'))
        return cleaned or []


class RoleRights:
    """view_rights: any of them opens the page. change_right: adds, changes and deletes."""

    admin_site: admin.AdminSite
    view_rights: ClassVar[frozenset[Right]] = frozenset({Right.SET_UP, Right.PEOPLE})
    change_right: ClassVar[Right] = Right.SET_UP
    # From the row to its branch; "" when the row is a branch, None when it belongs to no branch.
    branch_path: ClassVar[str | None] = None

    def has_view_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return any(person_of(request).may(right) for right in self.view_rights)

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return person_of(request).may(self.change_right)

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return person_of(request).may(self.change_right)

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return person_of(request).may(self.change_right)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        rows: QuerySet[Any] = super().get_queryset(request)  # type: ignore[misc]
        return rows if self.branch_path is None else scoped(rows, person_of(request), self.branch_path)

    def formfield_for_foreignkey(
        self, db_field: "ForeignKey[Any, Any]", request: HttpRequest, **kwargs: Any
    ) -> forms.ModelChoiceField[Any] | None:
        """What can be chosen is what the person's own list of that kind shows."""
        kind: Any = db_field.related_model
        if "queryset" not in kwargs and self.admin_site.is_registered(kind):
            kwargs["queryset"] = self.admin_site.get_model_admin(kind).get_queryset(request)
        field: forms.ModelChoiceField[Any] | None = super().formfield_for_foreignkey(  # type: ignore[misc]
            db_field, request, **kwargs
        )
        return field


LISTS: dict[Any, dict[str, Any]] = {JSONField: {"form_class": JsonList}}


class RoleAdmin(InTheLedger, RoleRights, AnyModelAdmin):
    formfield_overrides = LISTS

    def has_module_permission(self, request: HttpRequest) -> bool:
        return self.has_view_permission(request)

    def message_user(self, request: HttpRequest, message: Any, *args: Any, **kwargs: Any) -> None:
        """What was done, in the product's voice: without the congratulation."""
        plain = str(message).replace(" successfully", "")
        said = SafeString(plain) if isinstance(message, SafeString) else plain
        super().message_user(request, said, *args, **kwargs)


class LabelledRows(AnyInlineFormSet):
    def add_fields(self, form: Any, index: Any) -> None:
        super().add_fields(form, index)
        if "DELETE" in form.fields:
            form.fields["DELETE"].widget.attrs["aria-label"] = _("Delete")


class RoleTabular(RoleRights, AnyTabularInline):
    formfield_overrides = LISTS
    formset = LabelledRows
    extra = 0

    def formfield_for_dbfield(self, db_field: Any, request: HttpRequest, **kwargs: Any) -> forms.Field | None:
        """The column's heading is no label to a screen reader, so each control carries its own."""
        field = super().formfield_for_dbfield(db_field, request, **kwargs)
        if field is not None:
            field.widget.attrs["aria-label"] = str(field.label or db_field.verbose_name).capitalize()
        return field


class RoleStacked(RoleRights, AnyStackedInline):
    formfield_overrides = LISTS
    extra = 0
