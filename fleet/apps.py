from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class FleetConfig(AppConfig):
    name = "fleet"
    verbose_name = _("What the operator owns")
