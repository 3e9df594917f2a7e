"""Who has a second factor, where it was given, who lost theirs, and where people are signed in."""


import django.db.models.deletion
import shared.ids
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shared', '0007_marks'),
    ]

    operations = [
        migrations.AddField(
            model_name='deviceperson',
            name='second_at',
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name='person',
            name='has_second_factor',
            field=models.BooleanField(db_default=False, default=False, editable=False),
        ),
        migrations.CreateModel(
            name='SecondFactorReset',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('at', models.DateTimeField()),
                ('reason', models.CharField(max_length=300)),
                ('told_at', models.DateTimeField(blank=True, null=True)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='second_factor_resets', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-at'],
            },
        ),
        migrations.CreateModel(
            name='SignedIn',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('session_key', models.CharField(max_length=40, unique=True)),
                ('device', models.UUIDField(blank=True, db_index=True, null=True)),
                ('browser', models.CharField(blank=True, max_length=40)),
                ('since', models.DateTimeField()),
                ('seen_at', models.DateTimeField(db_index=True)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='signed_in', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-seen_at'],
            },
        ),
    ]
