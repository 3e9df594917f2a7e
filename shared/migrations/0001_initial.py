import django.contrib.auth.validators
import django.core.validators
import django.db.models.deletion
import django.utils.timezone
import shared.access.models
import shared.ids
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('auth', '0012_alter_user_first_name_max_length'),
    ]

    operations = [
        migrations.CreateModel(
            name='ChainHead',
            fields=[
                ('chain', models.UUIDField(primary_key=True, serialize=False)),
                ('sequence', models.PositiveIntegerField(default=0)),
                ('digest', models.CharField(default='0000000000000000000000000000000000000000000000000000000000000000', max_length=64)),
                ('recorded_at', models.DateTimeField(blank=True, null=True)),
            ],
        ),
        migrations.CreateModel(
            name='Mark',
            fields=[
                ('of', models.CharField(choices=[('backup', 'backup'), ('ledger', 'ledger checked from the first entry to the last')], max_length=20, primary_key=True, serialize=False)),
                ('at', models.DateTimeField()),
                ('went_well', models.BooleanField(default=True)),
                ('said', models.JSONField(default=dict, help_text='Figures to show: counts, sizes in bytes.')),
            ],
        ),
        migrations.CreateModel(
            name='RowStated',
            fields=[
                ('name', models.CharField(max_length=130, primary_key=True, serialize=False)),
                ('digest', models.CharField(blank=True, max_length=64)),
                ('salt', models.CharField(blank=True, max_length=32)),
                ('entry', models.UUIDField(db_index=True)),
            ],
        ),
        migrations.CreateModel(
            name='Person',
            fields=[
                ('password', models.CharField(max_length=128, verbose_name='password')),
                ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
                ('is_superuser', models.BooleanField(default=False, help_text='Designates that this user has all permissions without explicitly assigning them.', verbose_name='superuser status')),
                ('username', models.CharField(error_messages={'unique': 'A user with that username already exists.'}, help_text='Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.', max_length=150, unique=True, validators=[django.contrib.auth.validators.UnicodeUsernameValidator()], verbose_name='username')),
                ('first_name', models.CharField(blank=True, max_length=150, verbose_name='first name')),
                ('last_name', models.CharField(blank=True, max_length=150, verbose_name='last name')),
                ('email', models.EmailField(blank=True, max_length=254, verbose_name='email address')),
                ('is_staff', models.BooleanField(default=False, help_text='Designates whether the user can log into this admin site.', verbose_name='staff status')),
                ('is_active', models.BooleanField(default=True, help_text='Designates whether this user should be treated as active. Unselect this instead of deleting accounts.', verbose_name='active')),
                ('date_joined', models.DateTimeField(default=django.utils.timezone.now, verbose_name='date joined')),
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('role', models.CharField(choices=[('host', 'Branch host'), ('return_bay', 'Return bay'), ('manager', 'Manager'), ('coordinator', 'Fleet coordinator'), ('administrator', 'Administrator')], max_length=20)),
                ('light', models.CharField(choices=[('day', 'Daylight'), ('dusk', 'Dusk')], default='day', max_length=5)),
                ('hand', models.CharField(choices=[('right', 'Right'), ('left', 'Left')], default='right', max_length=5)),
                ('language', models.CharField(choices=[('en-gb', 'English'), ('de', 'Deutsch'), ('fr', 'Français')], default='en-gb', max_length=8)),
                ('pin', models.CharField(blank=True, editable=False, max_length=128)),
                ('has_second_factor', models.BooleanField(db_default=False, default=False, editable=False)),
                ('groups', models.ManyToManyField(blank=True, help_text='The groups this user belongs to. A user will get all permissions granted to each of their groups.', related_name='user_set', related_query_name='user', to='auth.group', verbose_name='groups')),
                ('user_permissions', models.ManyToManyField(blank=True, help_text='Specific permissions for this user.', related_name='user_set', related_query_name='user', to='auth.permission', verbose_name='user permissions')),
            ],
            options={
                'verbose_name_plural': 'people',
            },
            managers=[
                ('objects', shared.access.models.PersonManager()),
            ],
        ),
        migrations.CreateModel(
            name='DaySeal',
            fields=[
                ('number', models.PositiveIntegerField(primary_key=True, serialize=False)),
                ('day', models.DateField(unique=True)),
                ('document', models.TextField()),
                ('signature', models.BinaryField()),
                ('stamp', models.BinaryField(blank=True)),
            ],
            options={
                'ordering': ['number'],
                'constraints': [models.CheckConstraint(condition=models.Q(('number__gte', 1)), name='day_seal_number_from_one')],
            },
        ),
        migrations.CreateModel(
            name='Device',
            fields=[
                ('id', models.UUIDField(editable=False, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField(auto_now_add=True)),
                ('contiguous_seq', models.PositiveBigIntegerField(default=0)),
                ('revoked_at', models.DateTimeField(blank=True, null=True)),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('revoked_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('revoked_at__isnull', True), ('revoked_by__isnull', True)), models.Q(('revoked_at__isnull', False), ('revoked_by__isnull', False)), _connector='OR'), name='device_revoked_by_somebody')],
            },
        ),
        migrations.CreateModel(
            name='DevicePerson',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('first_at', models.DateTimeField()),
                ('last_at', models.DateTimeField()),
                ('wrong_pins', models.PositiveSmallIntegerField(default=0)),
                ('second_at', models.DateTimeField(blank=True, null=True)),
                ('device', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='people', to='shared.device')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='devices', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-last_at'],
                'constraints': [models.UniqueConstraint(fields=('device', 'person'), name='known_once_on_a_device')],
            },
        ),
        migrations.CreateModel(
            name='Entry',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('chain', models.UUIDField()),
                ('sequence', models.PositiveIntegerField()),
                ('kind', models.CharField(max_length=64, validators=[django.core.validators.RegexValidator('^[a-z_]+(\\.[a-z_]+)+$')])),
                ('payload', models.TextField()),
                ('device', models.CharField(blank=True, max_length=64)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('key', models.UUIDField()),
                ('subject', models.UUIDField(blank=True, null=True)),
                ('rows', models.TextField(blank=True)),
                ('previous', models.CharField(max_length=64)),
                ('digest', models.CharField(max_length=64)),
                ('actor', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'verbose_name_plural': 'entries',
                'indexes': [models.Index(fields=['recorded_at'], name='ledger_entry_recorded'), models.Index(fields=['subject'], name='ledger_entry_subject')],
                'constraints': [models.UniqueConstraint(fields=('chain', 'sequence'), name='ledger_entry_one_per_sequence'), models.UniqueConstraint(fields=('key',), name='ledger_entry_one_per_key'), models.CheckConstraint(condition=models.Q(('sequence__gte', 1)), name='ledger_entry_sequence_from_one')],
            },
        ),
        migrations.CreateModel(
            name='PersonalValue',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('kind', models.CharField(max_length=64)),
                ('digest', models.CharField(max_length=64)),
                ('salt', models.CharField(blank=True, max_length=64)),
                ('value', models.TextField(blank=True)),
                ('erased_at', models.DateTimeField(blank=True, null=True)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('digest',), name='personal_value_one_per_digest'), models.CheckConstraint(condition=models.Q(('erased_at__isnull', True), models.Q(('salt', ''), ('value', '')), _connector='OR'), name='personal_value_erased_whole')],
            },
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
