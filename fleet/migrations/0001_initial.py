import django.core.validators
import django.db.models.deletion
import fleet.models.branch
import shared.ids
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('shared', '__first__'),
    ]

    operations = [
        migrations.CreateModel(
            name='Branch',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField(unique=True)),
                ('name', models.CharField(max_length=80)),
                ('operator', models.CharField(help_text='The name on records and statements.', max_length=80)),
                ('prefix', models.CharField(max_length=4, unique=True, validators=[django.core.validators.RegexValidator('^[A-Z]{2,4}$', 'Two to four capital letters.')])),
                ('zone', models.CharField(max_length=64, validators=[fleet.models.branch.validate_zone])),
                ('currency', models.CharField(max_length=3, validators=[fleet.models.branch.validate_currency])),
                ('locale', models.CharField(default='en_GB', help_text='For dates and money, such as en_GB or fr_CA.', max_length=12)),
                ('tax_mode', models.CharField(choices=[('inclusive', 'In the price'), ('exclusive', 'On top')], max_length=9)),
                ('tax_name', models.CharField(default='VAT', max_length=12)),
                ('tax_rate', models.DecimalField(decimal_places=4, help_text='As a fraction: 0.2 is 20 %.', max_digits=6, validators=[django.core.validators.MinValueValidator(0), django.core.validators.MaxValueValidator(1)])),
                ('tax_rounding', models.CharField(choices=[('per_line', 'On each line'), ('per_group', 'On the sum of a tax class')], max_length=9)),
                ('tax_outside_scope', models.JSONField(default=fleet.models.branch.outside_scope_default, help_text='Line codes without tax.')),
                ('unit_system', models.CharField(choices=[('metric', 'Litres and kilometres'), ('uk', 'Litres and miles'), ('us', 'US gallons and miles')], default='metric', max_length=6)),
                ('country', models.CharField(default='GB', help_text='Whose law counts, in two letters (ISO 3166): GB, CA. The least tread goes by it.', max_length=2, validators=[django.core.validators.RegexValidator('^[A-Z]{2}$', 'Two capital letters.')])),
                ('traffic_side', models.CharField(choices=[('left', 'Left'), ('right', 'Right')], default='right', max_length=5)),
                ('idle_minutes', models.PositiveSmallIntegerField(default=5, help_text='After this many minutes without a touch a shared tablet asks who is there. 0: never.', validators=[django.core.validators.MaxValueValidator(240)])),
                ('objection_days', models.PositiveSmallIntegerField(default=14, help_text='How long a customer who was not present can object to a statement.', validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(365)])),
                ('dispute_days', models.PositiveSmallIntegerField(default=14, help_text='Within how many days a dispute is answered, from the day it is opened.', validators=[django.core.validators.MinValueValidator(1), django.core.validators.MaxValueValidator(365)])),
            ],
            options={
                'verbose_name_plural': 'branches',
                'ordering': ['name'],
            },
        ),
        migrations.CreateModel(
            name='Kit',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField()),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('retired', models.BooleanField(default=False)),
                ('name', models.CharField(max_length=60)),
                ('sealed', models.BooleanField(default=True, help_text='Has a numbered seal. An extinguisher has a pin and a gauge.')),
                ('contents', models.JSONField(blank=True, default=list, help_text='The items inside, as a list of names.')),
            ],
            options={
                'ordering': ['station__number', 'order', 'code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='EmergencyStep',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('title', models.CharField(max_length=40)),
                ('text', models.CharField(max_length=120)),
                ('number', models.CharField(blank=True, max_length=32, verbose_name='telephone number')),
                ('branch', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='emergency_steps', to='fleet.branch')),
            ],
            options={
                'ordering': ['order', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Layout',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField(unique=True)),
                ('name', models.CharField(max_length=80)),
                ('body', models.CharField(choices=[('panel_van', 'Panel van'), ('coachbuilt', 'Coach-built')], max_length=12)),
                ('length_mm', models.PositiveIntegerField(validators=[django.core.validators.MinValueValidator(3000)])),
                ('width_mm', models.PositiveIntegerField(validators=[django.core.validators.MinValueValidator(1500)])),
                ('height_mm', models.PositiveIntegerField(validators=[django.core.validators.MinValueValidator(1500)])),
                ('axles_mm', models.JSONField(default=list, help_text='Distance of each axle from the nose, in millimetres.')),
                ('running_mass_kg', models.PositiveIntegerField(help_text='In running order, driver of 75 kg included.')),
                ('max_mass_kg', models.PositiveIntegerField(help_text='From the plate.')),
                ('width_mirrors_mm', models.PositiveIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1500)], verbose_name='width with mirrors, mm')),
                ('speed_kmh', models.PositiveSmallIntegerField(blank=True, help_text='By the operator. The law and road signs come first.', null=True, verbose_name='most speed, km/h')),
                ('tyre_front_bar', models.DecimalField(blank=True, decimal_places=1, max_digits=3, null=True, verbose_name='front tyres cold, bar')),
                ('tyre_rear_bar', models.DecimalField(blank=True, decimal_places=1, max_digits=3, null=True, verbose_name='rear tyres cold, bar')),
                ('berths', models.PositiveSmallIntegerField()),
                ('belted_seats', models.PositiveSmallIntegerField()),
                ('fuel', models.CharField(choices=[('diesel', 'Diesel'), ('petrol', 'Petrol')], default='diesel', max_length=6)),
                ('currency', models.CharField(help_text='Of the replacement prices below.', max_length=3)),
                ('traffic_side', models.CharField(blank=True, choices=[('left', 'Left'), ('right', 'Right')], help_text='The traffic it is drawn for: kerb and road side of its stations. Empty: the branch’s.', max_length=5)),
            ],
            options={
                'ordering': ['name'],
                'constraints': [models.CheckConstraint(condition=models.Q(('running_mass_kg__lt', models.F('max_mass_kg'))), name='running_mass_below_maximum')],
            },
        ),
        migrations.CreateModel(
            name='Fitting',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=24)),
                ('x_mm', models.IntegerField(help_text='Left edge.')),
                ('y_mm', models.IntegerField(help_text='Front edge.')),
                ('w_mm', models.PositiveIntegerField()),
                ('h_mm', models.PositiveIntegerField()),
                ('turn', models.SmallIntegerField(default=0, help_text='Degrees clockwise: 0, 90, 180 or 270.')),
                ('layout', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='fittings', to='fleet.layout')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.CreateModel(
            name='CardPlace',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('title', models.CharField(max_length=48)),
                ('words', models.CharField(blank=True, max_length=60)),
                ('x_mm', models.IntegerField()),
                ('y_mm', models.IntegerField()),
                ('kit', models.ForeignKey(blank=True, help_text='Its seal number is printed with the words.', null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to='fleet.kit')),
                ('layout', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='card_places', to='fleet.layout')),
            ],
            options={
                'verbose_name': 'place on the Cab card',
                'verbose_name_plural': 'places on the Cab card',
                'ordering': ['order', 'id'],
            },
        ),
        migrations.CreateModel(
            name='LayoutStores',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('battery_chemistry', models.CharField(blank=True, choices=[('flooded', 'Lead, flooded'), ('agm', 'Lead, AGM'), ('gel', 'Lead, gel'), ('lithium', 'Lithium iron phosphate')], max_length=8)),
                ('battery_ah', models.DecimalField(blank=True, decimal_places=1, max_digits=6, null=True, validators=[django.core.validators.MinValueValidator(Decimal('0.1'))], verbose_name='house battery, Ah')),
                ('charger_a', models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True, validators=[django.core.validators.MinValueValidator(0)], verbose_name='mains charger, A')),
                ('drive_charger_a', models.DecimalField(blank=True, decimal_places=1, help_text='What reaches the house battery while driving.', max_digits=5, null=True, validators=[django.core.validators.MinValueValidator(0)], verbose_name='charger on the road, A')),
                ('solar_w', models.PositiveSmallIntegerField(default=0, help_text='0 where none is fitted.', verbose_name='solar panel, W')),
                ('fresh_l', models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True, validators=[django.core.validators.MinValueValidator(Decimal('0.1'))], verbose_name='fresh water, L')),
                ('waste_l', models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True, validators=[django.core.validators.MinValueValidator(Decimal('0.1'))], verbose_name='waste water, L')),
                ('cassette_l', models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True, validators=[django.core.validators.MinValueValidator(Decimal('0.1'))], verbose_name='toilet cassette, L')),
                ('gas', models.CharField(default='propane', max_length=24, validators=[django.core.validators.RegexValidator('^(propane|butane|\\d{1,2}/\\d{1,2} by (mass|mole))$', 'Write propane, butane, or 60/40 by mass: propane first, and by mass or by mole, since they differ.')])),
                ('layout', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='stores', to='fleet.layout')),
            ],
            options={
                'verbose_name': 'battery, tanks and gas',
                'verbose_name_plural': 'battery, tanks and gas',
            },
        ),
        migrations.CreateModel(
            name='Load',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('name', models.CharField(max_length=40)),
                ('draws', models.CharField(choices=[('battery', 'House battery, watts'), ('gas', 'Gas, grams an hour')], max_length=8)),
                ('amount', models.DecimalField(decimal_places=1, help_text='Watts, or grams of gas an hour, while on.', max_digits=7, validators=[django.core.validators.MinValueValidator(Decimal('0.1'))])),
                ('hours', models.DecimalField(decimal_places=2, default=Decimal('0'), help_text='A day. A refrigerator that runs a third of the time is on for 8.', max_digits=4, validators=[django.core.validators.MinValueValidator(0), django.core.validators.MaxValueValidator(24)])),
                ('hours_each', models.DecimalField(decimal_places=2, default=Decimal('0'), max_digits=4, validators=[django.core.validators.MinValueValidator(0), django.core.validators.MaxValueValidator(24)], verbose_name='more hours for each person')),
                ('in_frost', models.BooleanField(default=False, verbose_name='on cold nights only')),
                ('not_on_mains', models.BooleanField(default=False, verbose_name='off while plugged in')),
                ('layout', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='loads', to='fleet.layout')),
            ],
            options={
                'ordering': ['order', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Station',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('number', models.PositiveSmallIntegerField(validators=[django.core.validators.MinValueValidator(1)])),
                ('name', models.CharField(max_length=40)),
                ('where', models.CharField(blank=True, max_length=120)),
                ('x_mm', models.IntegerField()),
                ('y_mm', models.IntegerField()),
                ('way', models.JSONField(blank=True, default=list, help_text='Points [x, y] in mm on the way here.')),
                ('layout', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='stations', to='fleet.layout')),
            ],
            options={
                'ordering': ['layout', 'number'],
                'constraints': [models.UniqueConstraint(fields=('layout', 'number'), name='one_station_a_number')],
            },
        ),
        migrations.CreateModel(
            name='PhotoView',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField()),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('retired', models.BooleanField(default=False)),
                ('name', models.CharField(max_length=60)),
                ('shows', models.CharField(blank=True, help_text='What must be in it, for whoever takes it.', max_length=120)),
                ('reads', models.SlugField(blank=True, help_text='Code of the instrument of this station that it shows, if one.')),
                ('eye_x_mm', models.IntegerField(help_text='Where the camera is: right of the centre line.')),
                ('eye_y_mm', models.IntegerField(help_text='Where the camera is: behind the nose.')),
                ('aim_x_mm', models.IntegerField(help_text='The middle of the picture: right of the centre line.')),
                ('aim_y_mm', models.IntegerField(help_text='The middle of the picture: behind the nose.')),
                ('at', models.CharField(choices=[('both', 'Pickup and return'), ('pickup', 'Pickup'), ('return', 'Return')], default='both', max_length=6)),
                ('station', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='fleet.station')),
            ],
            options={
                'ordering': ['station__number', 'order', 'code'],
                'abstract': False,
            },
        ),
        migrations.AddField(
            model_name='kit',
            name='station',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='fleet.station'),
        ),
        migrations.CreateModel(
            name='Instrument',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField()),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('retired', models.BooleanField(default=False)),
                ('name', models.CharField(max_length=60)),
                ('instrument', models.CharField(default='gauge', help_text='gauge, scale, sight, display, depth gauge', max_length=24)),
                ('measures', models.CharField(choices=[('fuel', 'Fuel'), ('exhaust_fluid', 'AUS 32'), ('gas', 'Gas cylinder, gross mass'), ('fresh_water', 'Fresh water'), ('waste_water', 'Waste water'), ('cassette', 'Toilet cassette'), ('house_battery', 'House battery'), ('odometer', 'Odometer'), ('tread', 'Tyre tread')], max_length=16)),
                ('unit', models.CharField(help_text='L, kg, %, V, km or mm: readings are kept in it.', max_length=4)),
                ('capacity', models.DecimalField(blank=True, decimal_places=2, help_text='Full.', max_digits=8, null=True)),
                ('steps', models.PositiveSmallIntegerField(default=8, help_text='Graduations from empty to full.')),
                ('resolution', models.DecimalField(decimal_places=3, default=Decimal('1'), max_digits=6)),
                ('half_width', models.DecimalField(decimal_places=3, default=Decimal('0'), help_text='How far a reading may be off, each way, in the unit.', max_digits=6)),
                ('tare_kg', models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True)),
                ('net_kg', models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True)),
                ('hint', models.CharField(blank=True, max_length=120)),
                ('at', models.CharField(choices=[('both', 'Pickup and return'), ('pickup', 'Pickup'), ('return', 'Return')], default='both', max_length=6)),
                ('station', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='fleet.station')),
            ],
            options={
                'ordering': ['station__number', 'order', 'code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Equipment',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField()),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('retired', models.BooleanField(default=False)),
                ('name', models.CharField(max_length=60)),
                ('quantity', models.PositiveSmallIntegerField(default=1)),
                ('price', models.DecimalField(decimal_places=2, help_text='To replace one.', max_digits=10)),
                ('life_months', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('age_reduced', models.BooleanField(default=True, help_text='Its age lowers the charge. Not for keys or papers.')),
                ('station', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='fleet.station')),
            ],
            options={
                'verbose_name_plural': 'equipment',
                'ordering': ['station__number', 'order', 'code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='CheckItem',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField()),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('retired', models.BooleanField(default=False)),
                ('text', models.CharField(max_length=80)),
                ('hint', models.CharField(blank=True, max_length=120)),
                ('good', models.CharField(help_text='The word of the good answer, such as None or Good.', max_length=16)),
                ('bad', models.CharField(help_text='The word of the other answer, such as Smell or Bad.', max_length=16)),
                ('safety', models.BooleanField(default=False, help_text='A bad answer stops the handover until it is released.')),
                ('stop_sentence', models.CharField(blank=True, help_text='What to do now when it stops.', max_length=200)),
                ('at', models.CharField(choices=[('both', 'Pickup and return'), ('pickup', 'Pickup'), ('return', 'Return')], default='both', max_length=6)),
                ('station', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='fleet.station')),
            ],
            options={
                'ordering': ['station__number', 'order', 'code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Topic',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('code', models.SlugField()),
                ('order', models.PositiveSmallIntegerField(default=0)),
                ('retired', models.BooleanField(default=False)),
                ('severity', models.CharField(choices=[('S', 'Safety-critical'), ('D', 'Prevents damage'), ('C', 'Comfort')], max_length=1)),
                ('title', models.CharField(max_length=60)),
                ('text', models.TextField()),
                ('station', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='fleet.station')),
            ],
            options={
                'ordering': ['station__number', 'order', 'code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='TopicText',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('language', models.CharField(choices=[('de', 'Deutsch'), ('fr', 'Français'), ('es', 'Español'), ('nl', 'Nederlands'), ('ar', 'العربية')], max_length=8)),
                ('title', models.CharField(max_length=80)),
                ('text', models.TextField()),
                ('english_sha256', models.CharField(editable=False, max_length=64)),
                ('approved_sha256', models.CharField(blank=True, editable=False, max_length=64)),
                ('approved_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('approved_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('topic', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='texts', to='fleet.topic')),
            ],
            options={
                'ordering': ['topic', 'language'],
                'constraints': [models.UniqueConstraint(fields=('topic', 'language'), name='one_text_a_language'), models.CheckConstraint(condition=models.Q(models.Q(('approved_at__isnull', True), ('approved_by__isnull', True), ('approved_sha256', '')), models.Q(models.Q(('approved_sha256', ''), _negated=True), ('approved_at__isnull', False), ('approved_by__isnull', False)), _connector='OR'), name='approved_by_a_named_person')],
            },
        ),
        migrations.CreateModel(
            name='Unit',
            fields=[
                ('id', models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ('number', models.CharField(max_length=10, unique=True)),
                ('plate', models.CharField(max_length=16, unique=True)),
                ('vin', models.CharField(blank=True, max_length=20, verbose_name='VIN')),
                ('vin_has_check_digit', models.BooleanField(default=False, verbose_name='VIN has a check digit')),
                ('odometer_km', models.PositiveIntegerField(default=0)),
                ('in_service_on', models.DateField(help_text='From then on the equipment ages.')),
                ('retired', models.BooleanField(default=False)),
                ('branch', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='units', to='fleet.branch')),
                ('layout', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='units', to='fleet.layout')),
            ],
            options={
                'ordering': ['number'],
            },
        ),
        migrations.CreateModel(
            name='DueDate',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('registration', 'Registration'), ('insurance', 'Insurance'), ('gas', 'Gas inspection'), ('electrical', 'Electrical inspection'), ('extinguisher', 'Extinguisher service'), ('first_aid', 'First aid kit expiry'), ('alarms', 'Gas and smoke alarms, end of life'), ('tyres', 'Tyres')], max_length=12)),
                ('due_on', models.DateField()),
                ('unit', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='due_dates', to='fleet.unit')),
            ],
            options={
                'ordering': ['due_on'],
                'constraints': [models.UniqueConstraint(fields=('unit', 'kind'), name='one_due_date_a_kind')],
            },
        ),
        migrations.CreateModel(
            name='UnitInstrument',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('serial', models.CharField(blank=True, max_length=40)),
                ('capacity', models.DecimalField(blank=True, decimal_places=2, max_digits=8, null=True)),
                ('half_width', models.DecimalField(blank=True, decimal_places=3, max_digits=6, null=True)),
                ('tare_kg', models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True)),
                ('net_kg', models.DecimalField(blank=True, decimal_places=2, max_digits=6, null=True)),
                ('instrument', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='overrides', to='fleet.instrument')),
                ('unit', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='overrides', to='fleet.unit')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('unit', 'instrument'), name='one_override_an_instrument')],
            },
        ),
        migrations.CreateModel(
            name='UnitKit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('seal_number', models.CharField(blank=True, max_length=20)),
                ('expires_on', models.DateField(blank=True, null=True)),
                ('kit', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='in_units', to='fleet.kit')),
                ('unit', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='kits', to='fleet.unit')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('unit', 'kit'), name='one_kit_of_a_kind')],
            },
        ),
        migrations.CreateModel(
            name='UnitStores',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('battery_chemistry', models.CharField(blank=True, choices=[('flooded', 'Lead, flooded'), ('agm', 'Lead, AGM'), ('gel', 'Lead, gel'), ('lithium', 'Lithium iron phosphate')], max_length=8)),
                ('battery_ah', models.DecimalField(blank=True, decimal_places=1, max_digits=6, null=True, validators=[django.core.validators.MinValueValidator(Decimal('0.1'))], verbose_name='house battery, Ah')),
                ('charger_a', models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True, validators=[django.core.validators.MinValueValidator(0)], verbose_name='mains charger, A')),
                ('drive_charger_a', models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True, validators=[django.core.validators.MinValueValidator(0)], verbose_name='charger on the road, A')),
                ('solar_w', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='solar panel, W')),
                ('unit', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='stores', to='fleet.unit')),
            ],
            options={
                'verbose_name': 'battery and chargers that differ from the layout',
                'verbose_name_plural': 'battery and chargers that differ from the layout',
            },
        ),
        migrations.CreateModel(
            name='ClosedDate',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('day', models.DateField()),
                ('reason', models.CharField(blank=True, max_length=80)),
                ('branch', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='closed_dates', to='fleet.branch')),
            ],
            options={
                'ordering': ['day'],
                'constraints': [models.UniqueConstraint(fields=('branch', 'day'), name='closed_once_a_day')],
            },
        ),
        migrations.CreateModel(
            name='NightPlace',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=60)),
                ('latitude', models.DecimalField(decimal_places=4, help_text='Degrees, north positive.', max_digits=7, validators=[django.core.validators.MinValueValidator(-90), django.core.validators.MaxValueValidator(90)])),
                ('longitude', models.DecimalField(decimal_places=4, help_text='Degrees, east positive.', max_digits=8, validators=[django.core.validators.MinValueValidator(-180), django.core.validators.MaxValueValidator(180)])),
                ('mains', models.BooleanField(default=False, verbose_name='mains hook-up')),
                ('water', models.BooleanField(default=False, verbose_name='drinking water')),
                ('waste', models.BooleanField(default=False, verbose_name='dump point for waste and cassette')),
                ('branch', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='night_places', to='fleet.branch')),
            ],
            options={
                'ordering': ['name'],
                'constraints': [models.UniqueConstraint(fields=('branch', 'name'), name='one_night_place_a_name'), models.CheckConstraint(condition=models.Q(('latitude__gte', -90), ('latitude__lte', 90), ('longitude__gte', -180), ('longitude__lte', 180)), name='night_place_on_earth')],
            },
        ),
        migrations.CreateModel(
            name='OpeningHours',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('weekday', models.PositiveSmallIntegerField(choices=[(0, 'Monday'), (1, 'Tuesday'), (2, 'Wednesday'), (3, 'Thursday'), (4, 'Friday'), (5, 'Saturday'), (6, 'Sunday')])),
                ('opens', models.TimeField()),
                ('closes', models.TimeField()),
                ('branch', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='opening_hours', to='fleet.branch')),
            ],
            options={
                'verbose_name_plural': 'opening hours',
                'ordering': ['weekday', 'opens'],
                'constraints': [models.UniqueConstraint(fields=('branch', 'weekday'), name='one_opening_a_weekday'), models.CheckConstraint(condition=models.Q(('opens__lt', models.F('closes'))), name='opens_before_it_closes')],
            },
        ),
        migrations.CreateModel(
            name='Posting',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('branch', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='postings', to='fleet.branch')),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='postings', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('person', 'branch'), name='posted_once_to_a_branch')],
            },
        ),
    ]
