"""The Django application of the ledger."""

from django.apps import AppConfig


class LedgerConfig(AppConfig):
    """Events, and the head of their chain."""

    name = "drawndose.department.ledger"
    label = "ledger"
    default_auto_field = "django.db.models.BigAutoField"
