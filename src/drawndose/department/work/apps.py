"""The Django application of the work."""

from django.apps import AppConfig


class WorkConfig(AppConfig):
    """Patients, orders, due doses, containers and preparations."""

    name = "drawndose.department.work"
    label = "work"
    default_auto_field = "django.db.models.BigAutoField"
