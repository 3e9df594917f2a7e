from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _

from fleet.sayings import SAYINGS
from shared.phrasebook import learn


class FleetConfig(AppConfig):
    name = "fleet"
    verbose_name = _("What the operator owns")

    def ready(self) -> None:
        learn(SAYINGS)
