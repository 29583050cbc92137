"""Which storage: SQLite in one file by default, PostgreSQL by one setting. A wrong value says what is accepted."""

import os
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

ACCEPTED = "sqlite:///folder/department.sqlite3, or postgresql://user@host:5432/name"
DATA = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "drawndose"


class NoSuchStorage(ValueError):
    """The setting cannot be used; the message says what came and what is accepted."""


def database(address: str, password: str = "") -> dict[str, Any]:
    """Django's settings for an address. NoSuchStorage when it names no storage that is supported."""
    parts = urlsplit(address)
    if parts.scheme == "sqlite" and parts.path.startswith("/") and not parts.netloc:
        return sqlite(Path(unquote(parts.path)))
    if parts.scheme == "postgresql" and parts.path.strip("/"):
        return {
            "ENGINE": "django.db.backends.postgresql",
            "NAME": unquote(parts.path.strip("/")),
            "USER": unquote(parts.username or ""),
            "PASSWORD": password or unquote(parts.password or ""),
            "HOST": unquote(parts.hostname or ""),
            "PORT": str(parts.port or ""),
            "CONN_MAX_AGE": 60,
            "CONN_HEALTH_CHECKS": True,
        }
    raise NoSuchStorage(f'DRAWNDOSE_DATABASE: no such storage. Came: "{parts.scheme}:...". Accepted: {ACCEPTED}.')


def sqlite(path: Path) -> dict[str, Any]:
    """SQLite for records: write-ahead log, foreign keys, every transaction takes its lock at once, every commit reaches the disk.

    synchronous=FULL: with NORMAL the last commits can be lost when the power goes, and a record may not.
    """
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(path),
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
        },
    }


def from_environment() -> dict[str, Any]:
    """The storage that the environment names: DRAWNDOSE_DATABASE, its password from DRAWNDOSE_DATABASE_PASSWORD_FILE."""
    address = os.environ.get("DRAWNDOSE_DATABASE") or f"sqlite://{DATA / 'department.sqlite3'}"
    secret = os.environ.get("DRAWNDOSE_DATABASE_PASSWORD_FILE", "")
    return database(address, Path(secret).read_text(encoding="utf-8").strip() if secret else "")
