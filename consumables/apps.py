from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _

from consumables.sayings import SAYINGS
from shared.phrasebook import learn


class ConsumablesConfig(AppConfig):
    name = "consumables"
    verbose_name = _("What is used up")

    def ready(self) -> None:
        learn(SAYINGS)
