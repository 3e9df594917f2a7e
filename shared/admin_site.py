"""The setting-up desk: Django's admin in the product's own dress, opened by the same sign-in as every page."""

from typing import Any

from django.conf import settings
from django.contrib.admin import AdminSite
from django.contrib.auth import REDIRECT_FIELD_NAME
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache

from shared.access.roles import Right


class LevelpegAdminSite(AdminSite):
    site_header = gettext_lazy("Levelpeg: setting up")
    site_title = "Levelpeg"
    index_title = gettext_lazy("What the operator owns, and who works here")
    site_url = "/"

    def register(self, model_or_iterable: Any, admin_class: Any = None, **options: Any) -> None:
        """Only pages that keep to roles and branches: what libraries would add knows neither, so it stays out."""
        from shared.admin import RoleAdmin  # noqa: PLC0415 (needs the models; the site is made before them)

        if admin_class is not None and issubclass(admin_class, RoleAdmin):
            super().register(model_or_iterable, admin_class, **options)

    def has_permission(self, request: HttpRequest) -> bool:
        person: Any = request.user
        return bool(person.is_authenticated and (person.may(Right.SET_UP) or person.may(Right.PEOPLE)))

    @method_decorator(never_cache)
    @login_not_required
    def login(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
        """There is one sign-in for the whole product; who is signed in and may not set up is told so."""
        home = reverse("admin:index", current_app=self.name)
        if not request.user.is_authenticated:
            return redirect_to_login(request.GET.get(REDIRECT_FIELD_NAME, home), settings.LOGIN_URL)
        if not self.has_permission(request):
            raise PermissionDenied(_("Setting up belongs to the fleet coordinator and the administrator."))
        return redirect(home)
