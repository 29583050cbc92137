"""Other storages for a test, and the verbs as a person runs them: each in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from uuid import uuid4


def postgresql() -> bool:
    """True when the tests run on PostgreSQL."""
    return os.environ.get("DRAWNDOSE_DATABASE", "").startswith("postgresql:")


def new_file(folder: Path) -> str:
    """A new place in a file."""
    return f"sqlite://{folder / f'{uuid4().hex}.sqlite3'}"


def new_database() -> str:
    """A new place in the PostgreSQL of the tests."""
    import psycopg

    address = os.environ["DRAWNDOSE_DATABASE"]
    name = f"other_{uuid4().hex[:12]}"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
    return f"{address.rpartition('/')[0]}/{name}"


def environment(address: str, **more: str) -> dict[str, str]:
    """The environment of a verb that works on this storage."""
    return os.environ | {"DRAWNDOSE_DATABASE": address} | more


def verb(address: str, *words: str, **more: str) -> subprocess.CompletedProcess[str]:
    """Run a verb on a storage, and return what it printed."""
    command = [sys.executable, "-m", "drawndose.department.keeping", *words]
    return subprocess.run(command, env=environment(address, **more), capture_output=True, text=True, check=False)


def done(address: str, *words: str, **more: str) -> str:
    """What a verb printed that went well."""
    run = verb(address, *words, **more)
    assert run.returncode == 0, run.stderr + run.stdout
    return run.stdout
