"""`collectstatic`, one at a time in a folder: web processes that start at once would take each other's files away."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.management.commands import collectstatic

from drawndose.department.alone import alone


class Command(collectstatic.Command):
    """As the framework's."""

    def handle(self, **options: Any) -> str | None:
        """Hold the folder, then collect."""
        with alone(Path(settings.STATIC_ROOT)):
            return super().handle(**options)
