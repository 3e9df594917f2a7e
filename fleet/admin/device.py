"""Tablets and desk browsers that people signed in on. One that is lost is revoked here, and for good."""

from typing import Any

from django.contrib import admin
from django.db.models import Prefetch, QuerySet
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shared.access.models import Device, DevicePerson
from shared.access.revoking import revoke
from shared.access.roles import Right
from shared.admin import RoleAdmin, person_of


@admin.register(Device)
class DeviceAdmin(RoleAdmin):
    view_rights = frozenset({Right.PEOPLE})
    change_right = Right.PEOPLE
    list_display = ("__str__", "people_on_it", "revoked_at", "revoked_by")
    list_filter = (("revoked_at", admin.EmptyFieldListFilter),)
    fields = ("id", "made_at", "made_by", "revoked_at", "revoked_by")
    readonly_fields = fields
    actions = ("revoke_chosen",)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Any]:
        """Those that people of one's own branches signed in on."""
        own = person_of(request).branch_ids
        people = Prefetch("people", DevicePerson.objects.select_related("person"))
        mine = Device.objects.filter(people__person__postings__branch_id__in=own).distinct()
        return mine.select_related("revoked_by").prefetch_related(people).order_by("-made_at")

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    @admin.display(description=_("people on it, the last first"))
    def people_on_it(self, device: Any) -> str:
        return ", ".join(str(row.person) for row in device.people.all())

    @admin.action(description=_("Revoke: it is lost, nobody signs in on it any more"))
    def revoke_chosen(self, request: HttpRequest, chosen: QuerySet[Any]) -> None:
        for device in chosen:
            revoke(device, by=person_of(request), at=timezone.now())
