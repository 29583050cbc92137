"""Long work: what is to be done, how far it is, and what came of it. Not a record of care: no backup holds it."""

from django.db import models
from django.db.models import CheckConstraint, Q

from drawndose.department.keeping.job_states import JOB


class Job(models.Model):
    """One piece of long work.

    claims: how often a worker took it up; who holds the last claim may write. lost: how often that came to nothing. lease_until: when another worker may take it.
    done of total: its progress. says: where it is, or why it failed. result: what came of it, as a file. about: what it is, in words.
    key: of the form that asked for it: sent twice, it is one job.
    """

    kind = models.CharField(max_length=30)
    about = models.CharField(max_length=120, blank=True)
    key = models.CharField(max_length=64, unique=True, null=True)
    arguments = models.JSONField(default=dict)
    by = models.CharField(max_length=150)
    state = models.CharField(max_length=10, default="waiting")
    claims = models.PositiveIntegerField(default=0)
    lost = models.PositiveIntegerField(default=0)
    worker = models.CharField(max_length=80, blank=True)
    lease_until = models.DateTimeField(null=True)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    says = models.TextField(blank=True)
    submitted_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    result = models.BinaryField(null=True)
    result_name = models.CharField(max_length=120, blank=True)
    result_type = models.CharField(max_length=60, blank=True)

    class Meta:
        constraints = [
            CheckConstraint(condition=Q(state__in=[state for state in JOB if state]), name="job_state"),
            CheckConstraint(
                condition=~Q(state="running") | Q(lease_until__isnull=False), name="running_job_has_a_lease"
            ),
        ]
        indexes = [models.Index(fields=["state", "lease_until"], name="job_next")]
