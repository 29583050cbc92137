"""The Django application of the keeping."""

from django.apps import AppConfig


class KeepingConfig(AppConfig):
    """Long work that waits, and what came of it; the kinds of it that are ours."""

    name = "drawndose.department.keeping"
    label = "keeping"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Make the long work of this part known."""
        from drawndose.department.keeping import export, importing  # noqa: F401
