"""The training records. No field of a patient stands in them, and no table of patients' records points here.

Personal words (a learner's name and number, comments, notes, reasons) stand in these tables alone: events hold who by a number
and seals of the words, so that they can be erased and every event and hash stays as it is. See `sealed`.
"""

from typing import Any

from django.db import models
from django.db.models import CheckConstraint, F, Q, UniqueConstraint

from drawndose.department.people.models import Person
from drawndose.department.training import states
from drawndose.department.work.models import Versioned
from drawndose.department.work.states import Table


def _in(table: Table) -> Q:
    return Q(state__in=[state for state in table if state])


class FormVersion(Versioned):
    """One version of a form. skill: id of the shipped form that it goes back to; digest: the version made of its content."""

    skill = models.CharField(max_length=60)
    form_id = models.CharField(max_length=60)
    title = models.CharField(max_length=120)
    edition = models.PositiveIntegerField()
    digest = models.CharField(max_length=64, unique=True)
    content: Any = models.JSONField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(states.FORM), name="form_state"),
            UniqueConstraint(fields=["skill"], condition=Q(state="in use"), name="one_form_in_use"),
        ]


class RuleVersion(Versioned):
    """One version of a rule; one rule is in use."""

    rule_id = models.CharField(max_length=60)
    title = models.CharField(max_length=120)
    edition = models.PositiveIntegerField()
    digest = models.CharField(max_length=64, unique=True)
    content: Any = models.JSONField()
    reason = models.TextField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(states.RULE), name="rule_state"),
            UniqueConstraint(fields=["rule_id"], condition=Q(state="in use"), name="one_rule_in_use"),
        ]


class Cohort(Versioned):
    """A class."""

    name = models.CharField(max_length=80, unique=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [CheckConstraint(condition=_in(states.COHORT) & ~Q(name=""), name="cohort_state")]


class Learner(Versioned):
    """A learner of a class. number: the programme's own. person: where they sign in themselves. salt: of the seals; gone when erased."""

    cohort = models.ForeignKey(Cohort, on_delete=models.PROTECT)
    number = models.CharField(max_length=30)
    name = models.CharField(max_length=120)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="learning")
    salt = models.CharField(max_length=32, blank=True)

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(states.LEARNER) & ~Q(name="") & ~Q(number=""), name="learner_state"),
            UniqueConstraint(fields=["cohort", "number"], name="a_number_once"),
            UniqueConstraint(fields=["cohort", "person"], name="a_person_once"),
        ]


class LabDay(Versioned):
    """One day in the lab: its class, the seed of its tasks and the moment that they are set for, the rule, and the supplies.

    seats: the learners by their keys, in the order of the set. stops: each of them has a task to stop at, too.
    """

    cohort = models.ForeignKey(Cohort, on_delete=models.PROTECT)
    title = models.CharField(max_length=120)
    on = models.DateField()
    at = models.DateTimeField()
    zone = models.CharField(max_length=60)
    seed = models.CharField(max_length=40)
    seats: Any = models.JSONField(default=list)
    stops = models.BooleanField(default=True)
    rule = models.ForeignKey(RuleVersion, on_delete=models.PROTECT)
    supplies: Any = models.JSONField(default=list)

    class Meta:
        constraints = [CheckConstraint(condition=_in(states.LAB_DAY), name="lab_day_state")]
        indexes = [models.Index(fields=["state", "on"], name="lab_day_open")]


class Station(models.Model):
    """One table of a day, its kind of container, its evaluator, and its tasks in turn. cards: each task as it was set, kept whole."""

    day = models.ForeignKey(LabDay, on_delete=models.CASCADE)
    number = models.PositiveSmallIntegerField()
    title = models.CharField(max_length=120)
    container = models.CharField(max_length=40)
    minutes = models.PositiveSmallIntegerField()
    tells: Any = models.JSONField(default=list)
    evaluator = models.ForeignKey(Person, on_delete=models.PROTECT, null=True)
    cards: Any = models.JSONField(default=list)

    class Meta:
        constraints = [UniqueConstraint(fields=["day", "number"], name="a_station_once")]


class Attempt(Versioned):
    """One try. card: the task as it was set. form: the version that it is marked on, for ever. evidence: what was measured and said.

    comment, signed_by, signed_at: the learner's own. salt: of the seals of this try.
    """

    learner = models.ForeignKey(Learner, on_delete=models.PROTECT)
    station = models.ForeignKey(Station, on_delete=models.PROTECT)
    skill = models.CharField(max_length=60)
    number = models.PositiveSmallIntegerField()
    form = models.ForeignKey(FormVersion, on_delete=models.PROTECT)
    card: Any = models.JSONField()
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    evidence: Any = models.JSONField(default=dict)
    comment = models.TextField(blank=True)
    signed_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="signed_attempts")
    signed_at = models.DateTimeField(null=True)
    salt = models.CharField(max_length=32, blank=True)

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(states.ATTEMPT) & Q(number__gte=1), name="attempt_state"),
            CheckConstraint(condition=~Q(state="signed") | Q(signed_at__isnull=False), name="signed_has_its_moment"),
            CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(ended_at__gte=F("started_at")), name="attempt_ends_after"
            ),
            UniqueConstraint(
                fields=["learner", "skill", "number"], condition=~Q(state="broken off"), name="a_try_counts_once"
            ),
            UniqueConstraint(fields=["learner"], condition=Q(state="begun"), name="one_open_try_of_a_learner"),
        ]
        indexes = [models.Index(fields=["skill", "started_at"], name="attempt_skill")]


class Evaluation(Versioned):
    """The sheet of one evaluator on one try. place: 1 or 2. marks: without their notes. notes: by the id of a mark."""

    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT)
    evaluator = models.ForeignKey(Person, on_delete=models.PROTECT)
    place = models.PositiveSmallIntegerField()
    marks: Any = models.JSONField(default=list)
    notes: Any = models.JSONField(default=dict)
    rating = models.PositiveSmallIntegerField(null=True)
    note = models.TextField(blank=True)
    closed_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(states.EVALUATION) & Q(place__in=[1, 2]), name="evaluation_state"),
            CheckConstraint(condition=Q(rating__isnull=True) | Q(rating__lte=5), name="rating_to_five"),
            UniqueConstraint(
                fields=["attempt", "place"], condition=~Q(state="dropped"), name="one_sheet_for_each_place"
            ),
            UniqueConstraint(fields=["attempt", "evaluator"], name="one_sheet_of_an_evaluator"),
        ]


class MarkDraft(models.Model):
    """Marks that an evaluator made and did not send: another copy of what the tablet keeps. No record."""

    evaluation = models.OneToOneField(Evaluation, on_delete=models.CASCADE)
    marks: Any = models.JSONField(default=list)
    saved_at = models.DateTimeField()


class Decision(Versioned):
    """What was decided on a try. content: as `lab.deciding` says it, without personal words. why: of one that a person changed."""

    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT)
    outcome = models.CharField(max_length=30)
    content: Any = models.JSONField()
    why = models.TextField(blank=True)
    rule = models.ForeignKey(RuleVersion, on_delete=models.PROTECT)
    by = models.ForeignKey(Person, on_delete=models.PROTECT)
    at = models.DateTimeField()
    supersedes = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="superseded_by")

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(states.DECISION), name="decision_state"),
            UniqueConstraint(fields=["attempt"], condition=Q(state="stands"), name="one_decision_stands"),
        ]


class Remediation(Versioned):
    """What a learner practises before the next try, and that it was done."""

    attempt = models.ForeignKey(Attempt, on_delete=models.PROTECT)
    plan = models.TextField()
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="planned_remediation")
    at = models.DateTimeField()
    done_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="saw_remediation")
    done_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(states.REMEDIATION), name="remediation_state"),
            UniqueConstraint(fields=["attempt"], name="one_remediation_for_a_try"),
        ]


class SignOff(Versioned):
    """That a learner has shown a skill, from a day until a day (none: no end). why_ended: why it ended, or is suspended."""

    learner = models.ForeignKey(Learner, on_delete=models.PROTECT)
    skill = models.CharField(max_length=60)
    decision = models.ForeignKey(Decision, on_delete=models.PROTECT)
    by = models.ForeignKey(Person, on_delete=models.PROTECT)
    since = models.DateField()
    until = models.DateField(null=True)
    why_ended = models.TextField(blank=True)

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(states.SIGN_OFF), name="sign_off_state"),
            CheckConstraint(condition=Q(until__isnull=True) | Q(until__gte=F("since")), name="sign_off_lasts"),
            UniqueConstraint(fields=["learner", "skill"], condition=Q(state="valid"), name="one_valid_sign_off"),
        ]


class Action(Versioned):
    """What was done about evaluators who differed. found: the figures that it was done about, as texts."""

    cohort = models.ForeignKey(Cohort, on_delete=models.PROTECT)
    skill = models.CharField(max_length=60)
    says = models.TextField()
    found: Any = models.JSONField(default=dict)
    by = models.ForeignKey(Person, on_delete=models.PROTECT)
    at = models.DateTimeField()

    class Meta:
        constraints = [CheckConstraint(condition=_in(states.ACTION) & ~Q(says=""), name="action_state")]
