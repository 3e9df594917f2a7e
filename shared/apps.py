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
        self._listen()
        # SQLite makes a file but not the folder it lies in; WhiteNoise wants a folder even when it is empty.
        for folder in (settings.VAR_DIR, settings.STATIC_ROOT):
            folder.mkdir(mode=0o750, parents=True, exist_ok=True)

    def _listen(self) -> None:
        """To what the libraries of signing in tell."""
        from allauth.mfa.models import Authenticator  # noqa: PLC0415 (models are loaded from here on)
        from axes.signals import user_locked_out  # noqa: PLC0415
        from django.contrib.auth.signals import user_logged_in  # noqa: PLC0415
        from django.db.models.signals import post_delete, post_save  # noqa: PLC0415

        from shared.access import checks, sessions  # noqa: F401, PLC0415 (Django registers a check when it is imported)
        from shared.access.lockout.guard import keep_in_the_ledger  # noqa: PLC0415
        from shared.access.second_factor.factors import has_second_factor_follows  # noqa: PLC0415

        user_logged_in.connect(sessions.begins)
        user_locked_out.connect(keep_in_the_ledger)
        for signal in (post_save, post_delete):
            signal.connect(has_second_factor_follows, sender=Authenticator)
