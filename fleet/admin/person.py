"""People: role and postings are set here, by the administrator alone. Nobody is deleted, as the ledger names them."""

from typing import Any

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import AdminUserCreationForm, UserChangeForm
from django.db.models import Prefetch, Q, QuerySet
from django.http import HttpRequest
from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext

from fleet.models import Posting
from shared.access.models import Person
from shared.access.roles import Right
from shared.access.sessions import end_all
from shared.admin import RoleAdmin, RoleTabular, person_of


class PostingRows(RoleTabular):
    model = Posting
    branch_path = "branch"
    change_right = Right.PEOPLE
    verbose_name_plural = gettext_lazy("works at")


class NewPersonForm(AdminUserCreationForm[Person]):
    class Meta(AdminUserCreationForm.Meta):
        model = Person


class PersonForm(UserChangeForm[Person]):
    class Meta(UserChangeForm.Meta):
        model = Person


NAMES = ("username", ("first_name", "last_name"), "email", "role")


@admin.register(Person)
class PersonAdmin(RoleAdmin, UserAdmin):  # type: ignore[type-arg]
    form = PersonForm
    add_form = NewPersonForm
    view_rights = frozenset({Right.PEOPLE})
    change_right = Right.PEOPLE
    list_display = ("username", "first_name", "last_name", "role", "works_at", "is_active")
    list_filter = ("role", "is_active", ("postings__branch", admin.RelatedOnlyFieldListFilter))
    filter_horizontal = ()
    actions = ("sign_out_everywhere",)
    inlines = (PostingRows,)
    fieldsets = (
        (None, {"fields": (*NAMES, "is_active")}),
        (gettext_lazy("Sign-in"), {"fields": ("password", "last_login", "second_factor")}),
        (gettext_lazy("Screen"), {"fields": (("light", "hand"), "language")}),
    )
    add_fieldsets = ((None, {"fields": (*NAMES, "usable_password", "password1", "password2")}),)
    readonly_fields = ("last_login", "second_factor")

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        """The people of one's own branches, and those who are posted nowhere yet."""
        own = person_of(request).branch_ids
        mine = Q(postings__branch_id__in=own) | Q(postings__isnull=True)
        return (
            super()
            .get_queryset(request)
            .filter(mine)
            .distinct()
            .prefetch_related(Prefetch("postings", Posting.objects.filter(branch_id__in=own).select_related("branch")))
        )

    @admin.action(description=gettext_lazy("Sign out everywhere"))
    def sign_out_everywhere(self, request: HttpRequest, chosen: QuerySet[Any]) -> None:
        for person in chosen:
            end_all(person)

    @admin.display(description=gettext_lazy("second factor"))
    def second_factor(self, person: Any) -> str:
        if not person.has_second_factor:
            return pgettext("second factor", "none")
        words = _("set up. Take it away, for who has lost it")
        return format_html('<a href="{}">{}</a>', reverse("reset-second-factor", args=[person.pk]), words)

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    @admin.display(description=gettext_lazy("works at"))
    def works_at(self, person: Any) -> str:
        return ", ".join(posting.branch.name for posting in person.postings.all()) or _("nowhere yet")
