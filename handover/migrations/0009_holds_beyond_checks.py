"""A unit is held by more than a failed check: a reading, a kit, a load; and let go with something due."""

import django.db.models.deletion
from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def subject_of_checks(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    for hold in apps.get_model("handover", "Hold").objects.select_related("answer"):
        hold.subject = hold.answer.item_id
        hold.save(update_fields=["subject"])


class Migration(migrations.Migration):
    dependencies = [("handover", "0008_turnaround_jobs")]

    operations = [
        migrations.AddField(model_name="notready", name="due", field=models.JSONField(default=list)),
        migrations.AddField(
            model_name="hold",
            name="cause",
            field=models.CharField(
                choices=[
                    ("check", "A safety check failed"),
                    ("tread", "A tyre is worn"),
                    ("gas", "A cylinder is too full"),
                    ("kit", "A kit expires"),
                    ("load", "Overloaded on paper"),
                ],
                default="check",
                max_length=5,
            ),
        ),
        migrations.AddField(model_name="hold", name="put_right", field=models.BooleanField(default=False)),
        migrations.AddField(
            model_name="hold",
            name="reading",
            field=models.OneToOneField(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="hold",
                to="handover.reading",
            ),
        ),
        migrations.AddField(model_name="hold", name="subject", field=models.UUIDField(null=True)),
        migrations.AlterField(model_name="hold", name="sentence", field=models.CharField(max_length=500)),
        migrations.RunPython(subject_of_checks, migrations.RunPython.noop),
        migrations.AlterField(model_name="hold", name="subject", field=models.UUIDField()),
        migrations.AlterField(
            model_name="hold",
            name="answer",
            field=models.OneToOneField(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="hold",
                to="handover.checkanswer",
            ),
        ),
        migrations.AddConstraint(
            model_name="hold",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("answer__isnull", False), ("cause", "check"), ("reading__isnull", True)),
                    models.Q(("answer__isnull", True), ("cause__in", ["tread", "gas"]), ("reading__isnull", False)),
                    models.Q(("answer__isnull", True), ("cause__in", ["kit", "load"]), ("reading__isnull", True)),
                    _connector="OR",
                ),
                name="held_by_exactly_one_cause",
            ),
        ),
    ]
