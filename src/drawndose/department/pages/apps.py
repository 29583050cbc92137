"""The Django application of the pages that keep records."""

from django.apps import AppConfig


class PagesConfig(AppConfig):
    """Views and templates; no tables of its own."""

    name = "drawndose.department.pages"
    label = "pages"

    def ready(self) -> None:
        """Make the long work of the pages known."""
        from drawndose.department.pages.jobs import lab_packs, packs  # noqa: F401
