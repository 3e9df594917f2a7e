"""Wrong tries at sign-in, as long as they count. Lifted here for somebody who has to wait and should not."""

from typing import Any

from axes.models import AccessAttempt
from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from shared.access.roles import Right
from shared.admin import RoleAdmin


@admin.register(AccessAttempt)
class AccessAttemptAdmin(RoleAdmin):
    """By name and address: they belong to no branch, and the name may be nobody's."""

    view_rights = frozenset({Right.PEOPLE})
    change_right = Right.PEOPLE
    list_display = ("username", "ip_address", "failures_since_start", "attempt_time")
    search_fields = ("username", "ip_address")
    fields = ("username", "ip_address", "failures_since_start", "attempt_time")
    readonly_fields = fields
    actions = ("lift",)

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    @admin.action(description=_("Lift: they may try again now"))
    def lift(self, request: HttpRequest, chosen: QuerySet[Any]) -> None:
        chosen.delete()
