"""How a storage stands: can it be reached, has it its tables, was it founded, is the clock right."""

from __future__ import annotations

from datetime import timedelta

from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor

from drawndose.department.keeping.troubles import AWAY, UNMADE, told
from drawndose.department.ledger.append import SKEW, now
from drawndose.department.ledger.models import Head

NEVER_FOUNDED = "Nobody has founded this department yet. Run: drawndose department start"


BEHIND = "The clock of this machine stands {seconds} s before the last record: it writes nothing until the clock is set right."


def missing_migrations() -> list[str]:
    """The migrations that this storage does not have yet."""
    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return [f"{migration.app_label} {migration.name}" for migration, _ in plan]


def strange_migrations() -> list[str]:
    """The migrations of ours that this storage has and this version does not know: a newer version was here."""
    loader = MigrationExecutor(connection).loader
    known = {app for app, _ in loader.disk_migrations}
    return [
        f"{app} {name}"
        for app, name in loader.applied_migrations
        if app in known and (app, name) not in loader.disk_migrations
    ]


def ready() -> str:
    """Why nobody can work with this storage, in a sentence; empty when they can."""
    try:
        if missing_migrations():
            return UNMADE
        if strange_migrations():
            return "A newer drawndose has changed this storage. Start that version, or a newer one."
        if not Head.objects.filter(pk=1).exists():
            return NEVER_FOUNDED
        behind = clock_behind()
        return BEHIND.format(seconds=int(behind.total_seconds())) if behind else ""
    except Error as error:
        return told(error) or AWAY


def clock_behind() -> timedelta:
    """How far the clock of this machine stands before the last event; nothing when it is right as far as that can tell."""
    head = Head.objects.filter(pk=1).first()
    behind = head.at - now() if head is not None and head.at is not None else timedelta(0)
    return behind if behind > SKEW else timedelta(0)
