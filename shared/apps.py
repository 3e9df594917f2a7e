from django.apps import AppConfig
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from shared.phrasebook import learn
from shared.sayings import SAYINGS


class SharedConfig(AppConfig):
    name = "shared"
    verbose_name = _("People and ledger")

    def ready(self) -> None:
        learn(SAYINGS)
        # SQLite makes a file but not the folder it lies in; WhiteNoise wants a folder even when it is empty.
        for folder in (settings.VAR_DIR, settings.STATIC_ROOT):
            folder.mkdir(mode=0o750, parents=True, exist_ok=True)
