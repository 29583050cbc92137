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
            name="Cohort",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("name", models.CharField(max_length=80, unique=True)),
                ("at", models.DateTimeField()),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["open", "closed"]), models.Q(("name", ""), _negated=True)),
                        name="cohort_state",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="FormVersion",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("skill", models.CharField(max_length=60)),
                ("form_id", models.CharField(max_length=60)),
                ("title", models.CharField(max_length=120)),
                ("edition", models.PositiveIntegerField()),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("content", models.JSONField()),
                ("at", models.DateTimeField()),
                ("by", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["in use", "replaced"])), name="form_state"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "in use")), fields=("skill",), name="one_form_in_use"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Learner",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("number", models.CharField(max_length=30)),
                ("name", models.CharField(max_length=120)),
                ("salt", models.CharField(blank=True, max_length=32)),
                ("cohort", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.cohort")),
                (
                    "person",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="learning",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["enrolled", "left", "erased"]),
                            models.Q(("name", ""), _negated=True),
                            models.Q(("number", ""), _negated=True),
                        ),
                        name="learner_state",
                    ),
                    models.UniqueConstraint(fields=("cohort", "number"), name="a_number_once"),
                    models.UniqueConstraint(fields=("cohort", "person"), name="a_person_once"),
                ],
            },
        ),
        migrations.CreateModel(
            name="RuleVersion",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("rule_id", models.CharField(max_length=60)),
                ("title", models.CharField(max_length=120)),
                ("edition", models.PositiveIntegerField()),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("content", models.JSONField()),
                ("reason", models.TextField()),
                ("at", models.DateTimeField()),
                ("by", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["in use", "replaced"])), name="rule_state"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "in use")), fields=("rule_id",), name="one_rule_in_use"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="LabDay",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("title", models.CharField(max_length=120)),
                ("on", models.DateField()),
                ("at", models.DateTimeField()),
                ("zone", models.CharField(max_length=60)),
                ("seed", models.CharField(max_length=40)),
                ("seats", models.JSONField(default=list)),
                ("stops", models.BooleanField(default=True)),
                ("supplies", models.JSONField(default=list)),
                ("cohort", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.cohort")),
                ("rule", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.ruleversion")),
            ],
            options={
                "indexes": [models.Index(fields=["state", "on"], name="lab_day_open")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["planned", "open", "closed", "dropped"])),
                        name="lab_day_state",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Station",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("number", models.PositiveSmallIntegerField()),
                ("title", models.CharField(max_length=120)),
                ("container", models.CharField(max_length=40)),
                ("minutes", models.PositiveSmallIntegerField()),
                ("tells", models.JSONField(default=list)),
                ("cards", models.JSONField(default=list)),
                ("day", models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, to="training.labday")),
                (
                    "evaluator",
                    models.ForeignKey(
                        null=True, on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("day", "number"), name="a_station_once")],
            },
        ),
        migrations.CreateModel(
            name="Attempt",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("skill", models.CharField(max_length=60)),
                ("number", models.PositiveSmallIntegerField()),
                ("card", models.JSONField()),
                ("started_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(null=True)),
                ("evidence", models.JSONField(default=dict)),
                ("comment", models.TextField(blank=True)),
                ("signed_at", models.DateTimeField(null=True)),
                ("salt", models.CharField(blank=True, max_length=32)),
                (
                    "signed_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signed_attempts",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("form", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.formversion")),
                ("learner", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.learner")),
                ("station", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.station")),
            ],
            options={
                "indexes": [models.Index(fields=["skill", "started_at"], name="attempt_skill")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("state__in", ["begun", "sent", "decided", "signed", "broken off"]), ("number__gte", 1)
                        ),
                        name="attempt_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "signed"), _negated=True), ("signed_at__isnull", False), _connector="OR"
                        ),
                        name="signed_has_its_moment",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("ended_at__isnull", True), ("ended_at__gte", models.F("started_at")), _connector="OR"
                        ),
                        name="attempt_ends_after",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "broken off"), _negated=True),
                        fields=("learner", "skill", "number"),
                        name="a_try_counts_once",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "begun")), fields=("learner",), name="one_open_try_of_a_learner"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Evaluation",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("place", models.PositiveSmallIntegerField()),
                ("marks", models.JSONField(default=list)),
                ("notes", models.JSONField(default=dict)),
                ("rating", models.PositiveSmallIntegerField(null=True)),
                ("note", models.TextField(blank=True)),
                ("closed_at", models.DateTimeField(null=True)),
                ("attempt", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.attempt")),
                (
                    "evaluator",
                    models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["open", "sent", "dropped"]), ("place__in", [1, 2])),
                        name="evaluation_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("rating__isnull", True), ("rating__lte", 5), _connector="OR"),
                        name="rating_to_five",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "dropped"), _negated=True),
                        fields=("attempt", "place"),
                        name="one_sheet_for_each_place",
                    ),
                    models.UniqueConstraint(fields=("attempt", "evaluator"), name="one_sheet_of_an_evaluator"),
                ],
            },
        ),
        migrations.CreateModel(
            name="MarkDraft",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("marks", models.JSONField(default=list)),
                ("saved_at", models.DateTimeField()),
                (
                    "evaluation",
                    models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, to="training.evaluation"),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Remediation",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("plan", models.TextField()),
                ("at", models.DateTimeField()),
                ("done_at", models.DateTimeField(null=True)),
                ("attempt", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.attempt")),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="planned_remediation",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "done_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="saw_remediation",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["open", "done"])), name="remediation_state"
                    ),
                    models.UniqueConstraint(fields=("attempt",), name="one_remediation_for_a_try"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Decision",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("outcome", models.CharField(max_length=30)),
                ("content", models.JSONField()),
                ("why", models.TextField(blank=True)),
                ("at", models.DateTimeField()),
                ("attempt", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.attempt")),
                ("by", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
                (
                    "supersedes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="superseded_by",
                        to="training.decision",
                    ),
                ),
                ("rule", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.ruleversion")),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["stands", "superseded"])), name="decision_state"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "stands")), fields=("attempt",), name="one_decision_stands"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SignOff",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("skill", models.CharField(max_length=60)),
                ("since", models.DateField()),
                ("until", models.DateField(null=True)),
                ("why_ended", models.TextField(blank=True)),
                ("by", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
                ("decision", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.decision")),
                ("learner", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.learner")),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["valid", "suspended", "replaced", "ended"])),
                        name="sign_off_state",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("until__isnull", True), ("until__gte", models.F("since")), _connector="OR"),
                        name="sign_off_lasts",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("state", "valid")), fields=("learner", "skill"), name="one_valid_sign_off"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Action",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("state", models.CharField(max_length=20)),
                ("version", models.PositiveIntegerField(default=1)),
                ("skill", models.CharField(max_length=60)),
                ("says", models.TextField()),
                ("found", models.JSONField(default=dict)),
                ("at", models.DateTimeField()),
                ("by", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
                ("cohort", models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, to="training.cohort")),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("state__in", ["taken"]), models.Q(("says", ""), _negated=True)),
                        name="action_state",
                    )
                ],
            },
        ),
    ]
