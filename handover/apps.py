from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _

from handover.sayings import SAYINGS
from shared.phrasebook import learn


class HandoverConfig(AppConfig):
    name = "handover"
    verbose_name = _("What happens")

    def ready(self) -> None:
        """Django registers a check when its module is imported."""
        learn(SAYINGS)
        from handover.dayseal.bound import bind_rows  # noqa: PLC0415 models must be there first
        from handover.record import checks  # noqa: F401, PLC0415
        from handover.search.indexing import follow  # noqa: PLC0415

        bind_rows()
        follow()
