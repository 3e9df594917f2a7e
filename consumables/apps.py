from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class ConsumablesConfig(AppConfig):
    name = "consumables"
    verbose_name = _("What is used up")
