from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("handover", "0006_trip_and_settlement")]
    operations = [
        migrations.AddField(
            model_name="record",
            name="leg",
            field=models.ForeignKey(on_delete=models.PROTECT, related_name="records", to="handover.leg"),
            preserve_default=False,
        )
    ]
