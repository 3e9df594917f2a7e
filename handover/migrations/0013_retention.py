
import django.core.validators
import django.db.models.deletion
import shared.ids
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("fleet", "0008_days_of_a_dispute"),
        ("handover", "0011_customer_links"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Erasure",
            fields=[
                ("id", models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                (
                    "why",
                    models.CharField(choices=[("schedule", "by schedule"), ("request", "on request")], max_length=8),
                ),
                ("counts", models.JSONField()),
                ("at", models.DateTimeField()),
                (
                    "by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "rental",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="erasures", to="handover.rental"
                    ),
                ),
            ],
            options={
                "ordering": ["at", "id"],
            },
        ),
        migrations.CreateModel(
            name="ErasedFile",
            fields=[
                ("id", models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ("name", models.CharField(db_index=True, max_length=120)),
                ("on", models.DateField()),
                (
                    "why",
                    models.CharField(choices=[("schedule", "by schedule"), ("request", "on request")], max_length=8),
                ),
                ("removed_at", models.DateTimeField(null=True)),
                (
                    "rental",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="erased_files", to="handover.rental"
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(
                        condition=models.Q(("removed_at", None)), fields=["name"], name="erased_file_still_there"
                    )
                ],
                "constraints": [models.UniqueConstraint(fields=("rental", "name"), name="one_erased_file_a_rental")],
            },
        ),
        migrations.CreateModel(
            name="ErasedKind",
            fields=[
                ("id", models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("name", "name"),
                            ("phone", "phone"),
                            ("signatures", "signatures"),
                            ("words", "words"),
                            ("sent", "sent"),
                            ("photos", "photos"),
                            ("damage", "damage"),
                            ("documents", "documents"),
                            ("places", "places"),
                            ("deliveries", "deliveries"),
                            ("tablet", "tablet"),
                        ],
                        max_length=12,
                    ),
                ),
                ("on", models.DateField()),
                (
                    "why",
                    models.CharField(choices=[("schedule", "by schedule"), ("request", "on request")], max_length=8),
                ),
                (
                    "rental",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="erased_kinds", to="handover.rental"
                    ),
                ),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("rental", "kind"), name="one_erased_kind_a_rental")],
            },
        ),
        migrations.CreateModel(
            name="ErasureRequest",
            fields=[
                ("id", models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ("at", models.DateTimeField()),
                ("done_at", models.DateTimeField(null=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "customer",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="erasure_requests",
                        to="handover.customer",
                    ),
                ),
            ],
            options={
                "ordering": ["at", "id"],
                "indexes": [
                    models.Index(
                        condition=models.Q(("done_at", None)), fields=["customer"], name="erasure_request_open"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="LegalHold",
            fields=[
                ("id", models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                ("reason", models.CharField(max_length=300)),
                ("until", models.DateField(help_text="The last day; empty: until it is lifted.", null=True)),
                ("at", models.DateTimeField()),
                ("lifted_at", models.DateTimeField(null=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "lifted_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "rental",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="legal_holds", to="handover.rental"
                    ),
                ),
            ],
            options={
                "ordering": ["at", "id"],
                "indexes": [
                    models.Index(condition=models.Q(("lifted_at", None)), fields=["rental"], name="legal_hold_standing")
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("reason", ""), _negated=True), name="held_with_a_reason"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("lifted_at__isnull", True), ("lifted_by__isnull", True)),
                            models.Q(("lifted_at__isnull", False), ("lifted_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="lifted_by_somebody",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="RetentionTerm",
            fields=[
                ("id", models.UUIDField(default=shared.ids.uuid7, editable=False, primary_key=True, serialize=False)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("name", "name"),
                            ("phone", "phone"),
                            ("signatures", "signatures"),
                            ("words", "words"),
                            ("sent", "sent"),
                            ("photos", "photos"),
                            ("damage", "damage"),
                            ("documents", "documents"),
                            ("places", "places"),
                            ("deliveries", "deliveries"),
                            ("tablet", "tablet"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "days",
                    models.PositiveIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(36500),
                        ]
                    ),
                ),
                (
                    "branch",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="retention_terms", to="fleet.branch"
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("branch", "kind"), name="one_term_a_kind"),
                    models.CheckConstraint(
                        condition=models.Q(("days__gte", 1), ("days__lte", 36500)), name="a_term_of_some_days"
                    ),
                ],
            },
        ),
    ]
