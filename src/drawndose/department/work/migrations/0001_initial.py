import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("people", "__first__"),
    ]

    operations = [
        migrations.CreateModel(
            name="Setting",
            fields=[
                ("name", models.CharField(max_length=60, primary_key=True, serialize=False)),
                ("value", models.TextField()),
                ("reason", models.TextField()),
            ],
        ),
        migrations.CreateModel(
            name="Site",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=80, unique=True)),
                ("zone", models.CharField(default="UTC", max_length=60)),
            ],
        ),
        migrations.CreateModel(
            name="KnownCode",
            fields=[
                ("code", models.CharField(max_length=14, primary_key=True, serialize=False)),
                ("presentation", models.CharField(max_length=80)),
                ("pack", models.CharField(max_length=20)),
                ("at", models.DateTimeField()),
                ("by", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name="Patient",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("name", models.CharField(max_length=120)),
                ("born", models.DateField()),
                ("number", models.CharField(max_length=30, unique=True)),
                ("allergies", models.TextField(blank=True)),
                ("allergies_asked", models.BooleanField(default=False)),
                ("weight_g", models.PositiveIntegerField(null=True)),
                ("weighed_on", models.DateField(null=True)),
                ("version", models.PositiveIntegerField(default=1)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("number", ""), _negated=True), models.Q(("name", ""), _negated=True)
                        ),
                        name="patient_has_two_identifiers",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("weight_g__isnull", True), ("weighed_on__isnull", False), _connector="OR"),
                        name="weight_has_its_day",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Order",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("text", models.TextField()),
                ("prescriber", models.CharField(max_length=120)),
                ("ordered_at", models.DateTimeField()),
                ("spoken", models.BooleanField(default=False)),
                ("read_back", models.BooleanField(default=False)),
                ("reason", models.CharField(blank=True, max_length=200)),
                ("first_at", models.DateTimeField(null=True)),
                ("next_at", models.DateTimeField(null=True)),
                ("weight_g", models.PositiveIntegerField(null=True)),
                ("weighed_on", models.DateField(null=True)),
                (
                    "replaces",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="replaced_by",
                        to="work.order",
                    ),
                ),
                ("patient", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="work.patient")),
                ("site", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="work.site")),
            ],
            options={
                "indexes": [
                    models.Index(fields=["patient", "state"], name="order_patient"),
                    models.Index(fields=["state", "next_at"], name="order_next"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["entered", "complete", "on hold", "changed", "ended"])),
                        name="order_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("spoken", False), ("read_back", True), _connector="OR"),
                        name="spoken_order_was_read_back",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DueDose",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("due_at", models.DateTimeField()),
                ("from_at", models.DateTimeField()),
                ("to_at", models.DateTimeField()),
                ("order", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="work.order")),
            ],
            options={
                "indexes": [models.Index(fields=["state", "due_at"], name="dose_due")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["due", "being prepared", "prepared", "given", "not given", "dropped"])
                        ),
                        name="dose_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("from_at__lte", models.F("due_at")), ("due_at__lte", models.F("to_at"))),
                        name="dose_in_window",
                    ),
                    models.UniqueConstraint(fields=("order", "due_at"), name="one_dose_at_a_time"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Container",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("presentation", models.CharField(max_length=80)),
                ("pack", models.CharField(max_length=20)),
                ("lot", models.CharField(max_length=20)),
                ("expiry", models.DateField()),
                ("code", models.CharField(blank=True, max_length=14)),
                ("place", models.CharField(blank=True, max_length=80)),
                ("received_at", models.DateTimeField()),
                ("opened_at", models.DateTimeField(null=True)),
                ("discard_after", models.DateField(null=True)),
                ("kept", models.CharField(blank=True, max_length=20)),
                ("bedside", models.BooleanField(default=False)),
                ("holds_nl", models.PositiveBigIntegerField()),
                ("left_nl", models.PositiveBigIntegerField()),
                ("owner", models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to="work.patient")),
                ("site", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="work.site")),
            ],
            options={
                "indexes": [
                    models.Index(fields=["state", "expiry"], name="container_next"),
                    models.Index(fields=["presentation", "lot"], name="container_lot"),
                    models.Index(fields=["lot"], name="container_recall"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["received", "opened", "doubtful", "emptied", "discarded"])),
                        name="container_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("left_nl__gte", 0), ("left_nl__lte", models.F("holds_nl"))),
                        name="never_below_nothing",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "emptied"), _negated=True), ("left_nl", 0), _connector="OR"
                        ),
                        name="emptied_is_empty",
                    ),
                    models.CheckConstraint(condition=models.Q(("lot", ""), _negated=True), name="container_has_a_lot"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Preparation",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("started_at", models.DateTimeField()),
                ("limit_at", models.DateTimeField(null=True)),
                ("given_at", models.DateTimeField(null=True)),
                ("ended_at", models.DateTimeField(null=True)),
                ("chosen", models.JSONField(default=dict)),
                ("plan", models.JSONField(default=dict)),
                ("steps_done", models.JSONField(default=list)),
                ("readings", models.JSONField(default=list)),
                ("label", models.JSONField(default=list)),
                ("observed", models.JSONField(default=dict)),
                ("total_nl", models.PositiveBigIntegerField(null=True)),
                ("given_nl", models.PositiveBigIntegerField(null=True)),
                ("wasted_nl", models.PositiveBigIntegerField(null=True)),
                ("left_nl", models.PositiveBigIntegerField(null=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="prepared",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("dose", models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to="work.duedose")),
                (
                    "given_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="given",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("order", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="work.order")),
                (
                    "read_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="read_second",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "witness",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="witnessed",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(fields=["state", "limit_at"], name="preparation_limit"),
                    models.Index(fields=["started_at"], name="preparation_started"),
                    models.Index(fields=["given_at"], name="preparation_given"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "state__in",
                                ["begun", "planned", "drawn", "labelled", "given", "not given", "broken off", "closed"],
                            )
                        ),
                        name="preparation_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("read_by__isnull", True),
                            models.Q(("read_by", models.F("by")), _negated=True),
                            _connector="OR",
                        ),
                        name="second_reader_is_another",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "given"), _negated=True),
                            models.Q(("given_at__isnull", False), ("given_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="given_by_someone",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state__in", ["broken off", "closed"]), _negated=True),
                        fields=("dose",),
                        name="one_open_preparation_for_a_dose",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Draw",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("volume_nl", models.PositiveBigIntegerField()),
                ("container", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="work.container")),
                ("preparation", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="work.preparation")),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("volume_nl__gte", 1)), name="a_draw_draws"),
                    models.UniqueConstraint(fields=("preparation", "container"), name="one_draw_of_a_container"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Silence",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("rule", models.CharField(max_length=60)),
                ("presentation", models.CharField(max_length=80)),
                ("reason", models.TextField()),
                ("since", models.DateTimeField()),
                ("until", models.DateTimeField()),
                ("ended_at", models.DateTimeField(null=True)),
                ("by", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
            ],
            options={
                "indexes": [models.Index(fields=["rule", "since"], name="silence_rule")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("until__gt", models.F("since"))), name="a_silence_lasts"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at__isnull", True)),
                        fields=("by", "rule", "presentation"),
                        name="one_silence_at_a_time",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="StockLevel",
            fields=[
                ("presentation", models.CharField(max_length=80, primary_key=True, serialize=False)),
                ("reorder_at", models.PositiveIntegerField(null=True)),
                ("dose_nl", models.PositiveBigIntegerField(null=True)),
                ("reason", models.TextField()),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("dose_nl__isnull", True), ("dose_nl__gte", 1), _connector="OR"),
                        name="a_dose_is_some",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Draft",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("form", models.CharField(max_length=60)),
                ("content", models.JSONField(default=dict)),
                ("saved_at", models.DateTimeField()),
                ("person", models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, to=settings.AUTH_USER_MODEL)),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("person", "form"), name="one_draft_of_a_form")],
            },
        ),
    ]
