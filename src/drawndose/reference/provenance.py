"""Where a value is printed, and how surely it was read."""

import datetime
from dataclasses import dataclass
from enum import Enum

from drawndose.reference.table import Table


class How(Enum):
    """How surely a value was read. Anything but READ is shown as such wherever the value is shown."""

    READ = "read"
    SECONDARY = "secondary"
    MEMORY = "from memory"
    COMPUTED = "computed"
    PRACTICE = "common practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One document: title, kind, address where one may be cited, the day it was read, and whether only a copy was read.

    how: READ where the issuer's own words were seen, SECONDARY for another's summary, MEMORY for a document that was
    looked for and not read; None where the record does not say it, and the origin of each value does.
    """

    id: str
    title: str
    kind: str
    address: str
    read: datetime.date
    copy: bool
    how: How | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """The place of one value: source id, locator inside it, and how surely it was read."""

    source: str
    at: str
    how: How


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """A sentence with its origin."""

    says: str
    origin: Origin


def take_origin(table: Table) -> Origin:
    """The three provenance keys that every table with a value carries."""
    return Origin(source=table.text("source"), at=table.text("at"), how=table.choice("how", How))


def take_source(table: Table) -> Source:
    """One record of a sources file."""
    source = Source(
        id=table.text("id"),
        title=table.text("title"),
        kind=table.text("kind"),
        address=table.text("address", ""),
        read=table.day("read"),
        copy=table.truth("copy", False),
        how=table.choice("how", How) if table.has("how") else None,
    )
    table.done()
    return source
