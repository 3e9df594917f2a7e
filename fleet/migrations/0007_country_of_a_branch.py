"""Whose law counts at a branch, at first as its locale says."""

import django.core.validators
from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def country_of_locale(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    for branch in apps.get_model("fleet", "Branch").objects.all():
        country = branch.locale.rpartition("_")[2]
        if len(country) == 2 and country.isupper():
            branch.country = country
            branch.save(update_fields=["country"])


class Migration(migrations.Migration):
    dependencies = [("fleet", "0006_what_a_unit_carries_to_live_on")]

    operations = [
        migrations.AddField(
            model_name="branch",
            name="country",
            field=models.CharField(
                default="GB",
                help_text="Whose law counts, in two letters (ISO 3166): GB, CA. The least tread goes by it.",
                max_length=2,
                validators=[django.core.validators.RegexValidator("^[A-Z]{2}$", "Two capital letters.")],
            ),
        ),
        migrations.RunPython(country_of_locale, migrations.RunPython.noop),
    ]
