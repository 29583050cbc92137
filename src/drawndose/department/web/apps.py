"""The Django application of the pages."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Registers the checks of the environment."""

    name = "drawndose.department.web"
    label = "web"

    def ready(self) -> None:
        """Import the checks, which register themselves."""
        from drawndose.department.web import checks  # noqa: F401
