import django.core.validators
import django.db.models.deletion
import shared.ids
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('fleet', '0001_initial'),
        ('shared', '__first__'),
    ]

    operations = [
        migrations.CreateModel(
            name='Fill',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('before', models.DecimalField(decimal_places=5, max_digits=6, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('1'))])),
                ('after', models.DecimalField(decimal_places=5, max_digits=6, validators=[django.core.validators.MinValueValidator(Decimal('0')), django.core.validators.MaxValueValidator(Decimal('1'))])),
                ('litres', models.DecimalField(decimal_places=2, max_digits=7)),
                ('to_click', models.BooleanField(default=False, verbose_name='until the pump stopped by itself')),
                ('cost', models.DecimalField(blank=True, decimal_places=2, max_digits=10, null=True)),
                ('currency', models.CharField(blank=True, max_length=3)),
                ('receipt_photo', models.CharField(blank=True, help_text='Name of the kept file.', max_length=80)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('instrument', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='fills', to='fleet.instrument')),
                ('unit', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='fills', to='fleet.unit')),
            ],
            options={
                'ordering': ['at', 'id'],
                'constraints': [models.CheckConstraint(condition=models.Q(('after__gte', 0), ('after__lte', 1), ('before__gte', 0), ('before__lte', 1)), name='fill_within_the_gauge'), models.CheckConstraint(condition=models.Q(('litres__gt', 0)), name='fill_of_some_litres')],
            },
        ),
        migrations.CreateModel(
            name='TankCurve',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField(help_text='Of the instrument.')),
                ('litres', models.JSONField()),
                ('standard_uncertainty', models.JSONField(blank=True, default=list)),
                ('covariance', models.JSONField(blank=True, default=list)),
                ('learned_from', models.PositiveIntegerField(default=0, help_text='Receipts.')),
                ('valid_from', models.DateField()),
                ('at', models.DateTimeField()),
                ('layout', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='curves', to='fleet.layout')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('unit', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='curves', to='fleet.unit')),
            ],
            options={
                'ordering': ['valid_from', 'at'],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('layout__isnull', True), ('unit__isnull', False)), models.Q(('layout__isnull', False), ('unit__isnull', True)), _connector='OR'), name='curve_of_a_unit_or_a_layout')],
            },
        ),
    ]
