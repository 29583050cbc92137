"""The Django application of the training records."""

from django.apps import AppConfig


class TrainingConfig(AppConfig):
    """Forms, rules, cohorts, lab days, attempts, decisions and sign-offs."""

    name = "drawndose.department.training"
    label = "training"
    default_auto_field = "django.db.models.BigAutoField"
