
import django.core.validators
import django.db.models.deletion
import shared.ids
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('fleet', '0002_initial'),
        ('handover', '0004_rate_card_draft'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Correction',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('was', models.DecimalField(decimal_places=3, max_digits=12)),
                ('value', models.DecimalField(decimal_places=3, max_digits=12)),
                ('typed', models.CharField(max_length=40)),
                ('doubt', models.CharField(blank=True, max_length=200)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('evidence', models.ManyToManyField(related_name='+', to='handover.photo')),
                ('reading', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='corrections', to='handover.reading')),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Grouping',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('events', models.JSONField()),
                ('reason', models.CharField(max_length=300)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='groupings', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
            },
        ),
        migrations.CreateModel(
            name='KitUse',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('kit', models.SlugField()),
                ('report', models.CharField(choices=[('none', 'No report'), ('injury', 'Injury report'), ('fire', 'Fire report')], max_length=6)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Objection',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('code', models.CharField(max_length=20)),
                ('ref', models.CharField(max_length=200)),
                ('title', models.CharField(help_text='The line as it was called then.', max_length=200)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
                ('statement', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='objections', to='handover.statement')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Refill',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('litres', models.DecimalField(decimal_places=3, max_digits=7)),
                ('pumped_at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('reading', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='refill', to='handover.reading')),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Reopening',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('cause', models.CharField(choices=[('late_finding', 'Late finding'), ('dispute', 'Dispute'), ('notice', 'Fine or toll'), ('invoice_difference', 'Invoice differs from estimate'), ('correction', 'Correction'), ('recovery', 'Third party paid')], max_length=20)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
                ('statement', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='reopening', to='handover.statement')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='RepairPrice',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('basis', models.CharField(choices=[('estimate', 'Estimate'), ('invoice', 'Invoice')], max_length=8)),
                ('amount', models.DecimalField(decimal_places=3, max_digits=12, validators=[django.core.validators.MinValueValidator(0)])),
                ('reference', models.CharField(help_text='Whose, and its number.', max_length=80)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('mark', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='repair_prices', to='handover.mark')),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='repair_prices', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Soiling',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('zone', models.CharField(choices=[('interior', 'Interior'), ('exterior', 'Exterior'), ('upholstery', 'Upholstery'), ('odour', 'Odour')], max_length=10)),
                ('tier', models.CharField(choices=[('none', 'Clean'), ('standard', 'Standard'), ('heavy', 'Heavy'), ('specialist', 'Specialist')], max_length=10)),
                ('cause', models.CharField(blank=True, choices=[('', 'Dirt of the road'), ('smoke', 'Smoke'), ('pets', 'Pets'), ('vomit', 'Vomit'), ('mould', 'Mould'), ('powder', 'Extinguisher powder')], max_length=8)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('photos', models.ManyToManyField(related_name='+', to='handover.photo')),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='ItemFinding',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('state', models.CharField(choices=[('as_counted', 'As it was counted'), ('broken', 'Came back broken'), ('came_back', 'Turned up later')], max_length=10)),
                ('quantity', models.PositiveSmallIntegerField(default=1)),
                ('repair', models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ('came_back_on', models.DateField(null=True)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='item_findings', to='fleet.equipment')),
                ('photos', models.ManyToManyField(related_name='+', to='handover.photo')),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('state', 'came_back'), _negated=True), ('came_back_on__isnull', False), _connector='OR'), name='came_back_on_a_day')],
            },
        ),
        migrations.CreateModel(
            name='ObjectionOutcome',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('outcome', models.CharField(choices=[('accepted', 'Accepted'), ('under_protest', 'Accepted under protest'), ('disputed', 'Disputed'), ('deferred', 'Deferred')], max_length=14)),
                ('most', models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ('until', models.DateField(null=True)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('objection', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='outcomes', to='handover.objection')),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('outcome', 'deferred'), _negated=True), models.Q(('most__isnull', False), ('until__isnull', False), models.Q(('words', ''), _negated=True)), _connector='OR'), name='deferred_to_a_day_up_to_a_most')],
            },
        ),
        migrations.CreateModel(
            name='TankFinding',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('rubbish_bags', models.PositiveSmallIntegerField(default=0)),
                ('toilet_rinsed', models.BooleanField(default=True)),
                ('foul_water', models.CharField(blank=True, help_text='What is in the fresh water, such as diesel.', max_length=80)),
                ('foul_water_repair', models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('photos', models.ManyToManyField(related_name='+', to='handover.photo')),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('foul_water_repair__isnull', True), models.Q(('foul_water', ''), _negated=True), _connector='OR'), name='a_repair_of_foul_water')],
            },
        ),
        migrations.CreateModel(
            name='Waiver',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('words', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('code', models.CharField(max_length=20)),
                ('ref', models.CharField(max_length=200)),
                ('percent', models.DecimalField(decimal_places=2, max_digits=5, null=True)),
                ('amount', models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ('reason', models.CharField(choices=[('unclear_baseline', 'Unclear how it left'), ('photo_missing', 'Photo missing'), ('handed_over_so', 'Unit handed over so'), ('service_failure', 'Service failure'), ('small_amount', 'Small amount'), ('long_standing', 'Long-standing customer'), ('staff_error', 'Our error'), ('weather', 'Weather'), ('safety_use', 'Used for safety')], max_length=20)),
                ('withdrawn_at', models.DateTimeField(null=True)),
                ('withdrawn_words', models.CharField(blank=True, max_length=300)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='handover.rental')),
                ('second', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['at', 'id'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('amount__isnull', True), ('percent__gt', 0), ('percent__lte', 100)), models.Q(('amount__gt', 0), ('percent__isnull', True)), _connector='OR'), name='waived_by_percent_or_amount'), models.CheckConstraint(condition=models.Q(('second__isnull', True), models.Q(('second', models.F('by')), _negated=True), _connector='OR'), name='a_second_person_is_another'), models.CheckConstraint(condition=models.Q(models.Q(('withdrawn_at__isnull', True), ('withdrawn_by__isnull', True)), models.Q(('withdrawn_at__isnull', False), ('withdrawn_by__isnull', False), models.Q(('withdrawn_words', ''), _negated=True)), _connector='OR'), name='withdrawn_with_a_reason')],
            },
        ),
    ]
