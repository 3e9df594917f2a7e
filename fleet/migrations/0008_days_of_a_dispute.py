"""Within how many days a branch answers a dispute."""

import django.core.validators
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("fleet", "0007_country_of_a_branch")]

    operations = [
        migrations.AddField(
            model_name="branch",
            name="dispute_days",
            field=models.PositiveSmallIntegerField(
                default=14,
                help_text="Within how many days a dispute is answered, from the day it is opened.",
                validators=[
                    django.core.validators.MinValueValidator(1),
                    django.core.validators.MaxValueValidator(365),
                ],
            ),
        ),
    ]
