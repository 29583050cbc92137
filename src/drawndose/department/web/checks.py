"""Checks of the settings, each with the way to mend it. Run before the port is opened, and by `drawndose department check`."""

import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Warning, register

from drawndose.department.chosen import Chosen, chosen
from drawndose.department.database import storage

SHORTEST_KEY = 50


@register
def environment(app_configs: Any, **kwargs: Any) -> Iterable[CheckMessage]:
    """Every setting of ours that cannot be used as it stands."""
    now = chosen(os.environ)
    key = now.get("secret_key") or now.secret("secret_key_file")
    storage(now)
    now.one_of("https", ("yes", "no"))
    now.one_of("log", ("requests", "faults"))
    found: list[CheckMessage] = [
        Error(
            f'{fault.field}: {fault.rule}. Came: "{fault.came}".',
            hint=f"Accepted: {fault.accepted}.",
            id="drawndose.E004",
        )
        for fault in now.faults
    ]
    if key and len(key) < SHORTEST_KEY:
        says = f"DRAWNDOSE_SECRET_KEY has {len(key)} characters; a key of at least {SHORTEST_KEY} is needed."
        hint = "Unset it for a key of this process, or make one: python -c 'import secrets; print(secrets.token_urlsafe(50))'"
        found.append(Error(says, hint=hint, id="drawndose.E001"))
    found += _hosts(now)
    root = Path(settings.STATIC_ROOT)
    if root.exists() and not os.access(root, os.W_OK):
        says = f"The folder for static files cannot be written: {root}."
        found.append(Warning(says, hint="Set DRAWNDOSE_STATIC to a folder of this user.", id="drawndose.W001"))
    return found


def _hosts(now: Chosen) -> Iterable[CheckMessage]:
    hosts = [host.strip() for host in now.get("hosts").split(",")]
    if "*" in hosts:
        says = "DRAWNDOSE_HOSTS names every host (*), which is refused."
        yield Error(says, hint="Name the hosts, with commas: DRAWNDOSE_HOSTS=bench.example", id="drawndose.E002")
    wrong = [host for host in hosts if "/" in host]
    if wrong:
        says = f"DRAWNDOSE_HOSTS holds an address, not a host name: {', '.join(wrong)}."
        yield Error(says, hint="Leave out http:// and everything after the name.", id="drawndose.E003")
