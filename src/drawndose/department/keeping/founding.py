"""The first start: tables, the kind of records for ever, the first site, the administrator. All of it or nothing."""

from __future__ import annotations

import getpass
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.core.management import call_command
from django.db import connection, transaction

from drawndose.department.alone import alone
from drawndose.department.chosen import Chosen
from drawndose.department.keeping.state import strange_migrations
from drawndose.department.ledger.models import Kind
from drawndose.department.ledger.storage import found, kind_of_records
from drawndose.department.people.roster import FIRST, first_administrator
from drawndose.department.work import sites
from drawndose.department.work.sites import zone_faults
from drawndose.quantities import Fault, Gathering, Refused, gather

PREPARING = 20_261_125
"""The number under which PostgreSQL holds the preparing: any, and always the same."""
add_site = sites.add
"""One site, with its event."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Founding:
    """What a storage is founded with."""

    kind: Kind
    site: str
    zone: str
    username: str
    name: str
    password: str


def prepare_storage() -> None:
    """Bring the tables up to date. Refused when a newer version was here: what it wrote would not be understood."""
    with _storage_held():
        strange = strange_migrations()
        if strange:
            rule, accepted = "a newer drawndose has changed it", "that version, or a newer one"
            raise Refused([Fault(field="storage", rule=rule, came=", ".join(strange), accepted=accepted)])
        call_command("migrate", verbosity=0)


@contextmanager
def _storage_held() -> Iterator[None]:
    """One process of all machines at a time: of several that start at once one brings the tables up to date, and the others wait."""
    if connection.vendor == "sqlite":
        with alone(Path(connection.settings_dict["NAME"]).parent):
            yield
        return
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_lock(%s)", [PREPARING])
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_unlock(%s)", [PREPARING])


def opened(chosen: Chosen) -> Kind | None:
    """The kind of a storage that was founded before; None when it was not. Refused when it is not what was chosen."""
    kind = kind_of_records()
    if kind is None:
        return None
    if kind is Kind.DEMO:
        accepted = "drawndose department demo, or another storage"
        raise _refused("storage", "it holds invented records", "a demo", accepted)
    wanted = chosen.get("kind")
    if wanted and wanted != kind.value:
        raise _refused(
            "DRAWNDOSE_KIND", f"this storage holds {kind.label}", wanted, f"{kind.value}, or another storage"
        )
    return kind


def asked(chosen: Chosen, ask: Callable[[str], str] | None, secret: Callable[[str], str] | None) -> Founding:
    """What to found with: out of the settings, and what they leave open by asking. Refused with everything that is missing.

    ask and secret: how a person is asked; None where nobody is there.
    """

    def answer(name: str, question: str, otherwise: str = "") -> str:
        return chosen.get(name) or (ask(f"{question}: ").strip() if ask is not None else "") or otherwise

    if ask is not None:
        print("This storage is new. It is founded once, with:")
    site = answer("site", "Name of the first site (Site 1 without)", "Site 1")
    zone = answer("zone", "Its time zone (UTC without)", "UTC")
    username = answer("admin", "Name to sign in with, of the administrator")
    password = chosen.secret("admin_password_file") or _new_password(secret)
    gather(chosen.faults)
    name = answer("admin_name", "Name as it is signed (the same without)", username)
    return Founding(
        kind=Kind(chosen.get("kind") or Kind.CARE),
        site=site,
        zone=zone,
        username=username,
        name=name,
        password=password,
    )


def _new_password(secret: Callable[[str], str] | None) -> str:
    if secret is None:
        return ""
    first = secret("Password, 12 characters or more: ")
    if first != secret("Again: "):
        raise _refused("password", "it was not typed the same twice", "another", "the same")
    return first


def person_asks() -> tuple[Callable[[str], str] | None, Callable[[str], str] | None]:
    """How to ask whoever started this; nothing when nobody sits there."""
    return (input, getpass.getpass) if sys.stdin is not None and sys.stdin.isatty() else (None, None)


def found_storage(what: Founding) -> None:
    """Found a storage. Refused with every fault, and nothing is written."""
    gathering = Gathering()
    gathering.faults += zone_faults(what.zone, "DRAWNDOSE_ZONE")
    if not what.site.strip() or len(what.site) > 80:
        gathering.faults += _refused("DRAWNDOSE_SITE", "a name has 1 to 80 characters", what.site, "Ward 3").faults
    if not what.username:
        accepted = "DRAWNDOSE_ADMIN and DRAWNDOSE_ADMIN_PASSWORD_FILE, or a start at a terminal, which asks"
        gathering.faults += _refused("administrator", "someone must be able to sign in", "nobody", accepted).faults
        gather(gathering.faults)
    with transaction.atomic():
        found(what.kind, actor=FIRST)
        gathering.take(lambda: first_administrator(what.username, what.name, what.password))
        gather(gathering.faults)
        add_site(what.site, what.zone, actor=FIRST)


def _refused(field: str, rule: str, came: str, accepted: str) -> Refused:
    return Refused([Fault(field=field, rule=rule, came=came, accepted=accepted)])
