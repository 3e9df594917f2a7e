"""Disputes, their decisions, letters and bundles."""

import django.db.models.deletion
import shared.ids
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('handover', '0009_holds_beyond_checks'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Dispute',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('number', models.PositiveIntegerField()),
                ('kind', models.CharField(choices=[('line', 'A line of a statement'), ('chargeback', 'Chargeback')], default='line', max_length=10)),
                ('code', models.CharField(blank=True, max_length=20)),
                ('ref', models.CharField(blank=True, max_length=200)),
                ('title', models.CharField(help_text='The line as it was called then.', max_length=200)),
                ('words', models.CharField(help_text='In the words of whoever contests it.', max_length=1000)),
                ('by_customer', models.BooleanField()),
                ('answer_by', models.DateField()),
                ('waits_for', models.CharField(choices=[('branch', 'The branch'), ('customer', 'The customer'), ('others', 'Workshop, insurer or police')], default='branch', max_length=8)),
                ('claimed', models.DecimalField(decimal_places=3, max_digits=12, null=True)),
                ('reason_code', models.CharField(blank=True, help_text='As the bank writes it.', max_length=40)),
                ('state', models.CharField(choices=[('open', 'Open'), ('decided', 'Decided')], default='open', max_length=7)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rental', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='disputes', to='handover.rental')),
                ('statement', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='disputes', to='handover.statement')),
            ],
            options={
                'ordering': ['at', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Decision',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('outcome', models.CharField(choices=[('upheld', 'Line stands'), ('reduced', 'Reduced'), ('waived', 'Waived'), ('withdrawn', 'Withdrawn')], max_length=9)),
                ('before', models.DecimalField(decimal_places=3, max_digits=12)),
                ('after', models.DecimalField(decimal_places=3, max_digits=12)),
                ('words', models.CharField(help_text='The reason, as it is sent to the customer.', max_length=1000)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('second', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('statement', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='decisions', to='handover.statement')),
                ('waiver', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='decision', to='handover.waiver')),
                ('dispute', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='decision', to='handover.dispute')),
            ],
            options={
                'ordering': ['at', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Bundle',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('state', models.CharField(choices=[('waiting', 'being made'), ('ready', 'ready'), ('failed', 'could not be made')], default='waiting', max_length=8)),
                ('problem', models.CharField(blank=True, max_length=300)),
                ('file', models.CharField(blank=True, max_length=120)),
                ('size', models.PositiveIntegerField(default=0)),
                ('sha256', models.CharField(blank=True, max_length=64)),
                ('ordered_at', models.DateTimeField()),
                ('limit_bytes', models.PositiveIntegerField()),
                ('manifest_sha256', models.CharField(blank=True, max_length=64)),
                ('left_out', models.JSONField(default=list)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('dispute', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='bundles', to='handover.dispute')),
            ],
            options={
                'ordering': ['ordered_at', 'id'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='DisputePhoto',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('sent_sha256', models.CharField(max_length=64)),
                ('kept_sha256', models.CharField(max_length=64)),
                ('original', models.CharField(max_length=120)),
                ('display', models.CharField(max_length=120)),
                ('thumb', models.CharField(max_length=120)),
                ('taken_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField()),
                ('dispute', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='photos', to='handover.dispute')),
            ],
            options={
                'ordering': ['at', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Letter',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('state', models.CharField(choices=[('waiting', 'being made'), ('ready', 'ready'), ('failed', 'could not be made')], default='waiting', max_length=8)),
                ('problem', models.CharField(blank=True, max_length=300)),
                ('file', models.CharField(blank=True, max_length=120)),
                ('size', models.PositiveIntegerField(default=0)),
                ('sha256', models.CharField(blank=True, max_length=64)),
                ('ordered_at', models.DateTimeField()),
                ('language', models.CharField(max_length=8)),
                ('draft', models.BooleanField(default=False)),
                ('decision', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='letter', to='handover.decision')),
            ],
            options={
                'ordering': ['ordered_at', 'id'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Delivery',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('outcome', models.CharField(choices=[('sent', 'sent'), ('failed', 'not sent'), ('no_address', 'no address known')], max_length=10)),
                ('address', models.EmailField(blank=True, max_length=254)),
                ('problem', models.CharField(blank=True, max_length=300)),
                ('at', models.DateTimeField()),
                ('letter', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='deliveries', to='handover.letter')),
            ],
            options={
                'ordering': ['at', 'id'],
            },
        ),
        migrations.AddIndex(
            model_name='dispute',
            index=models.Index(fields=['state', 'answer_by'], name='dispute_open'),
        ),
        migrations.AddConstraint(
            model_name='dispute',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('claimed__isnull', True), ('kind', 'line'), models.Q(('code', ''), _negated=True)), models.Q(('claimed__gt', 0), ('code', ''), ('kind', 'chargeback'), ('ref', '')), _connector='OR'), name='disputes_a_line_or_claims_an_amount'),
        ),
        migrations.AddConstraint(
            model_name='dispute',
            constraint=models.CheckConstraint(condition=models.Q(('by__isnull', False), ('by_customer', True), _connector='OR'), name='opened_by_somebody_or_the_customer'),
        ),
        migrations.AddConstraint(
            model_name='dispute',
            constraint=models.UniqueConstraint(condition=models.Q(('kind', 'line'), ('state', 'open')), fields=('rental', 'code', 'ref'), name='a_line_disputed_once'),
        ),
        migrations.AddConstraint(
            model_name='decision',
            constraint=models.CheckConstraint(condition=models.Q(('after__lte', models.F('before'))), name='a_decision_never_costs_more'),
        ),
        migrations.AddConstraint(
            model_name='decision',
            constraint=models.CheckConstraint(condition=models.Q(('words', ''), _negated=True), name='decided_with_a_reason'),
        ),
    ]
