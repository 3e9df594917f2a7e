"""When a backup and a check of the ledger last ran."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("shared", "0006_day_seals")]

    operations = [
        migrations.CreateModel(
            name="Mark",
            fields=[
                (
                    "of",
                    models.CharField(
                        choices=[
                            ("backup", "backup"),
                            ("ledger", "ledger checked from the first entry to the last"),
                        ],
                        max_length=20,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("at", models.DateTimeField()),
                ("went_well", models.BooleanField(default=True)),
                ("said", models.JSONField(default=dict, help_text="Figures to show: counts, sizes in bytes.")),
            ],
        ),
    ]
