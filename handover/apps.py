from django.apps import AppConfig


class HandoverConfig(AppConfig):
    name = "handover"
    verbose_name = "What happens"

    def ready(self) -> None:
        """Django registers a check when its module is imported."""
        from handover.record import checks  # noqa: F401, PLC0415 models must be there first
