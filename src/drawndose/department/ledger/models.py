"""Events, append-only, in one chain; the head that the next one is bound to; and what kind of records this storage holds."""

from django.db import models
from django.db.models import CheckConstraint, Q

FIRST = "0" * 64
"""What the first event is bound to."""


class Kind(models.TextChoices):
    """What this storage is for. One storage holds one kind for ever: records of patients never stand beside invented ones."""

    CARE = "care", "patients' records"
    PRACTICE = "practice", "practice records"
    DEMO = "demo", "invented records"


class Head(models.Model):
    """The last event: whoever appends holds this row. One row."""

    id = models.PositiveSmallIntegerField(primary_key=True)
    number = models.PositiveBigIntegerField(default=0)
    hash = models.CharField(max_length=64, default=FIRST)
    at = models.DateTimeField(null=True)
    kind = models.CharField(max_length=10, choices=Kind.choices)

    class Meta:
        constraints = [CheckConstraint(condition=Q(id=1), name="one_head")]


class Event(models.Model):
    """One thing that happened. Never changed and never deleted: a correction is another event.

    number counts from 1 without a gap. key: what a form carries so that sending it twice does it once. subject: what it
    happened to, as kind and id. content: exact values as text. before and hash bind it into the chain.
    """

    number = models.PositiveBigIntegerField(primary_key=True)
    at = models.DateTimeField()
    actor = models.CharField(max_length=150)
    name = models.CharField(max_length=60)
    subject_kind = models.CharField(max_length=30)
    subject = models.CharField(max_length=36)
    reason = models.TextField(blank=True)
    content = models.JSONField(default=dict)
    key = models.CharField(max_length=64, unique=True, null=True)
    before = models.CharField(max_length=64, unique=True)
    hash = models.CharField(max_length=64, unique=True)

    class Meta:
        indexes = [
            models.Index(fields=["subject_kind", "subject", "number"], name="event_subject"),
            models.Index(fields=["at"], name="event_at"),
            models.Index(fields=["name", "number"], name="event_name"),
        ]
        constraints = [CheckConstraint(condition=Q(number__gte=1), name="event_from_one")]
