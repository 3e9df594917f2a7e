from django.apps import AppConfig


class ConsumablesConfig(AppConfig):
    name = "consumables"
    verbose_name = "What is used up"
