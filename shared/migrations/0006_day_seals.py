"""Entries state the typed rows that are written with them; closed days are sealed."""

from django.db import migrations, models

from shared.ledger import triggers


class Migration(migrations.Migration):
    dependencies = [("shared", "0005_pin_and_people_of_a_device")]

    operations = [
        # SQLite makes the table anew for a new column; the triggers would be in the way, or lost.
        migrations.RunPython(triggers.remove, triggers.install),
        migrations.AddField(
            model_name="entry",
            name="rows",
            field=models.TextField(blank=True, default=""),
            preserve_default=False,
        ),
        migrations.CreateModel(
            name="RowStated",
            fields=[
                ("name", models.CharField(max_length=130, primary_key=True, serialize=False)),
                ("digest", models.CharField(blank=True, max_length=64)),
                ("salt", models.CharField(blank=True, max_length=32)),
                ("entry", models.UUIDField(db_index=True)),
            ],
        ),
        migrations.CreateModel(
            name="DaySeal",
            fields=[
                ("number", models.PositiveIntegerField(primary_key=True, serialize=False)),
                ("day", models.DateField(unique=True)),
                ("document", models.TextField()),
                ("signature", models.BinaryField()),
                ("stamp", models.BinaryField(blank=True)),
            ],
            options={
                "ordering": ["number"],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("number__gte", 1)), name="day_seal_number_from_one"
                    )
                ],
            },
        ),
        migrations.RunPython(triggers.install, triggers.remove),
    ]
