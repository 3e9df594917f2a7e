from django.apps import AppConfig


class HandoverConfig(AppConfig):
    name = "handover"
    verbose_name = "What happens"

