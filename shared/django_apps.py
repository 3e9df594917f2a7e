"""Apps of Django and of others with one thing changed each."""

from axes.apps import AppConfig as AxesConfig
from django.contrib.admin.apps import AdminConfig
from django.contrib.staticfiles.apps import StaticFilesConfig
from django.utils.translation import gettext_lazy as _


class LevelpegAdminConfig(AdminConfig):
    default_site = "shared.admin_site.LevelpegAdminSite"

    def ready(self) -> None:
        super().ready()
        from shared.admin_names import make_sayable  # noqa: PLC0415 (needs the models and their pages)

        make_sayable()


class ModuleStaticFilesConfig(StaticFilesConfig):
    # django_htmx ships optional extensions whose comments look like imports to the module rewriter.
    ignore_patterns = [*StaticFilesConfig.ignore_patterns, "ext"]


class WrongTriesConfig(AxesConfig):  # type: ignore[misc]
    verbose_name = _("Wrong tries at sign-in")
