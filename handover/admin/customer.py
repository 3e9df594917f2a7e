"""What a branch grants on the customer's page: set by the administrator, read by the coordinator."""

from django.contrib import admin

from handover.customer.models import CustomerTerms
from shared.access.roles import Right
from shared.admin import RoleAdmin


@admin.register(CustomerTerms)
class CustomerTermsAdmin(RoleAdmin):
    branch_path = "branch"
    change_right = Right.PEOPLE
    list_display = ("branch", "link_days", "notice_hours")
    ordering = ("branch__name",)
