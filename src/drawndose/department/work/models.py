"""What the department works with. Volumes are whole nanolitres, weights whole grams: exact, and a database can guard them.

Every row with a state has a version: whoever changes it says which version they saw, and a change in between is told.
"""

from typing import Any

from django.db import models
from django.db.models import CheckConstraint, F, Q, UniqueConstraint

from drawndose.department.people.models import Person
from drawndose.department.work.states import CONTAINER, DOSE, ORDER, PREPARATION, Table


def _in(table: Table) -> Q:
    return Q(state__in=[state for state in table if state])


class Versioned(models.Model):
    """Something with a state that changes by events only."""

    state = models.CharField(max_length=20)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        abstract = True


class Site(models.Model):
    """One place of work, with its time zone."""

    name = models.CharField(max_length=80, unique=True)
    zone = models.CharField(max_length=60, default="UTC")


class Patient(models.Model):
    """A person who gets doses: two identifiers, allergies as said, weight with its day. version: see Versioned."""

    name = models.CharField(max_length=120)
    born = models.DateField()
    number = models.CharField(max_length=30, unique=True)
    allergies = models.TextField(blank=True)
    allergies_asked = models.BooleanField(default=False)
    weight_g = models.PositiveIntegerField(null=True)
    weighed_on = models.DateField(null=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            CheckConstraint(condition=~Q(number="") & ~Q(name=""), name="patient_has_two_identifiers"),
            CheckConstraint(
                condition=Q(weight_g__isnull=True) | Q(weighed_on__isnull=False), name="weight_has_its_day"
            ),
        ]


class Order(Versioned):
    """What a prescriber wrote, as it was written. Due doses come out of its frequency.

    first_at: when the first dose is due. next_at: the first dose that is not planned yet; None where none will be. weight_g: what a
    dose by weight is reckoned with, as it was when the order was complete: a later weighing changes no dose by itself.
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT)
    site = models.ForeignKey(Site, on_delete=models.PROTECT)
    text = models.TextField()
    prescriber = models.CharField(max_length=120)
    ordered_at = models.DateTimeField()
    spoken = models.BooleanField(default=False)
    read_back = models.BooleanField(default=False)
    reason = models.CharField(max_length=200, blank=True)
    first_at = models.DateTimeField(null=True)
    next_at = models.DateTimeField(null=True)
    weight_g = models.PositiveIntegerField(null=True)
    weighed_on = models.DateField(null=True)
    replaces = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="replaced_by")

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(ORDER), name="order_state"),
            CheckConstraint(condition=Q(spoken=False) | Q(read_back=True), name="spoken_order_was_read_back"),
        ]
        indexes = [
            models.Index(fields=["patient", "state"], name="order_patient"),
            models.Index(fields=["state", "next_at"], name="order_next"),
        ]


class DueDose(Versioned):
    """One dose that is due, with the window of the policy around it."""

    order = models.ForeignKey(Order, on_delete=models.PROTECT)
    due_at = models.DateTimeField()
    from_at = models.DateTimeField()
    to_at = models.DateTimeField()

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(DOSE), name="dose_state"),
            CheckConstraint(condition=Q(from_at__lte=F("due_at")) & Q(due_at__lte=F("to_at")), name="dose_in_window"),
            UniqueConstraint(fields=["order", "due_at"], name="one_dose_at_a_time"),
        ]
        indexes = [models.Index(fields=["state", "due_at"], name="dose_due")]


class Container(Versioned):
    """One physical container. left_nl is a fold over the ledger, guarded here so that nobody draws what is not there."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT)
    presentation = models.CharField(max_length=80)
    pack = models.CharField(max_length=20)
    lot = models.CharField(max_length=20)
    expiry = models.DateField()
    code = models.CharField(max_length=14, blank=True)
    place = models.CharField(max_length=80, blank=True)
    received_at = models.DateTimeField()
    opened_at = models.DateTimeField(null=True)
    discard_after = models.DateField(null=True)
    kept = models.CharField(max_length=20, blank=True)
    bedside = models.BooleanField(default=False)
    owner = models.ForeignKey(Patient, on_delete=models.PROTECT, null=True)
    holds_nl = models.PositiveBigIntegerField()
    left_nl = models.PositiveBigIntegerField()

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(CONTAINER), name="container_state"),
            CheckConstraint(condition=Q(left_nl__gte=0) & Q(left_nl__lte=F("holds_nl")), name="never_below_nothing"),
            CheckConstraint(condition=~Q(state="emptied") | Q(left_nl=0), name="emptied_is_empty"),
            CheckConstraint(condition=~Q(lot=""), name="container_has_a_lot"),
        ]
        indexes = [
            models.Index(fields=["state", "expiry"], name="container_next"),
            models.Index(fields=["presentation", "lot"], name="container_lot"),
            models.Index(fields=["lot"], name="container_recall"),
        ]


class Preparation(Versioned):
    """One preparation from its start to its close. plan and label hold what the engine said, as data."""

    dose = models.ForeignKey(DueDose, on_delete=models.PROTECT, null=True)
    order = models.ForeignKey(Order, on_delete=models.PROTECT)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="prepared")
    read_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="read_second")
    given_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="given")
    witness = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="witnessed")
    started_at = models.DateTimeField()
    limit_at = models.DateTimeField(null=True)
    given_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)
    chosen = models.JSONField(default=dict)
    plan = models.JSONField(default=dict)
    steps_done = models.JSONField(default=list)
    readings = models.JSONField(default=list)
    label = models.JSONField(default=list)
    observed = models.JSONField(default=dict)
    total_nl = models.PositiveBigIntegerField(null=True)
    given_nl = models.PositiveBigIntegerField(null=True)
    wasted_nl = models.PositiveBigIntegerField(null=True)
    left_nl = models.PositiveBigIntegerField(null=True)

    class Meta:
        constraints = [
            CheckConstraint(condition=_in(PREPARATION), name="preparation_state"),
            CheckConstraint(condition=Q(read_by__isnull=True) | ~Q(read_by=F("by")), name="second_reader_is_another"),
            CheckConstraint(
                condition=~Q(state="given") | Q(given_by__isnull=False, given_at__isnull=False), name="given_by_someone"
            ),
            UniqueConstraint(
                fields=["dose"],
                condition=~Q(state__in=["broken off", "closed"]),
                name="one_open_preparation_for_a_dose",
            ),
        ]
        indexes = [
            models.Index(fields=["state", "limit_at"], name="preparation_limit"),
            models.Index(fields=["started_at"], name="preparation_started"),
            models.Index(fields=["given_at"], name="preparation_given"),
        ]


class Draw(models.Model):
    """What left a container for a preparation."""

    preparation = models.ForeignKey(Preparation, on_delete=models.PROTECT)
    container = models.ForeignKey(Container, on_delete=models.PROTECT)
    volume_nl = models.PositiveBigIntegerField()

    class Meta:
        constraints = [
            CheckConstraint(condition=Q(volume_nl__gte=1), name="a_draw_draws"),
            UniqueConstraint(fields=["preparation", "container"], name="one_draw_of_a_container"),
        ]


class Setting(models.Model):
    """One setting of the policy that was chosen here, as text; without a row the shipped default is in force."""

    name = models.CharField(max_length=60, primary_key=True)
    value = models.TextField()
    reason = models.TextField()


class StockLevel(models.Model):
    """What a department keeps of one presentation: how many doses are too few, and what one dose takes, in nL."""

    presentation = models.CharField(max_length=80, primary_key=True)
    reorder_at = models.PositiveIntegerField(null=True)
    dose_nl = models.PositiveBigIntegerField(null=True)
    reason = models.TextField()

    class Meta:
        constraints = [CheckConstraint(condition=Q(dose_nl__isnull=True) | Q(dose_nl__gte=1), name="a_dose_is_some")]


class Silence(models.Model):
    """A caution that one person has silenced for one product, until a day: it is folded for them, and counted for all."""

    by = models.ForeignKey(Person, on_delete=models.PROTECT)
    rule = models.CharField(max_length=60)
    presentation = models.CharField(max_length=80)
    reason = models.TextField()
    since = models.DateTimeField()
    until = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            CheckConstraint(condition=Q(until__gt=F("since")), name="a_silence_lasts"),
            UniqueConstraint(
                fields=["by", "rule", "presentation"], condition=Q(ended_at__isnull=True), name="one_silence_at_a_time"
            ),
        ]
        indexes = [models.Index(fields=["rule", "since"], name="silence_rule")]


class Draft(models.Model):
    """What someone typed and has not sent: kept so that a tablet that sleeps loses nothing."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE)
    form = models.CharField(max_length=60)
    content: Any = models.JSONField(default=dict)
    saved_at = models.DateTimeField()

    class Meta:
        constraints = [UniqueConstraint(fields=["person", "form"], name="one_draft_of_a_form")]


class KnownCode(models.Model):
    """A code that a person of this department has matched with a presentation: who, when, which."""

    code = models.CharField(max_length=14, primary_key=True)
    presentation = models.CharField(max_length=80)
    pack = models.CharField(max_length=20)
    by = models.ForeignKey(Person, on_delete=models.PROTECT)
    at = models.DateTimeField()
