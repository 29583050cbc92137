"""The Django application of the persons."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    """Persons and the roles that they hold."""

    name = "drawndose.department.people"
    label = "people"
    default_auto_field = "django.db.models.BigAutoField"
