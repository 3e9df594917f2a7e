from django.apps import AppConfig


class SharedConfig(AppConfig):
    name = "shared"
    verbose_name = "People and ledger"
