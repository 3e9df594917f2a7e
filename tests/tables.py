"""Tables straight from the models, and the ledger's triggers, for a process of a test that has a database of its own.

Migrating takes half a minute; it is tried by `make demo` and by each browser test.
"""

from django.apps import apps
from django.core.management import call_command
from django.db import connection
from django.test import override_settings

from shared.ledger import triggers


def make_tables() -> None:
    with override_settings(MIGRATION_MODULES={app.label: None for app in apps.get_app_configs()}):
        call_command("migrate", run_syncdb=True, verbosity=0)
    with connection.schema_editor() as editor:
        triggers.install(None, editor)
