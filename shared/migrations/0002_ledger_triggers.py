"""The database itself refuses to change or delete what the ledger holds."""

from django.db import migrations

from shared.ledger import triggers


class Migration(migrations.Migration):
    dependencies = [("shared", "0001_initial")]
    operations = [migrations.RunPython(triggers.install, triggers.remove)]
