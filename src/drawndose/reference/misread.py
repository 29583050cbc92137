"""Words and signs that have been misread in medicine texts, what they were read as, and what to write instead."""

from dataclasses import dataclass

from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Misread:
    """One entry. writes: its spellings; after_number: caught only behind a number; as_is: only in this very spelling."""

    writes: tuple[str, ...]
    means: str
    read_as: str
    write: str
    after_number: bool
    as_is: bool
    origin: Origin


def take_misread(table: Table) -> tuple[Misread, ...]:
    """Every entry of the file."""
    found = tuple(_misread(one) for one in table.tables("misread"))
    table.done()
    return found


def _misread(table: Table) -> Misread:
    made = Misread(
        writes=table.texts("writes"),
        means=table.text("means"),
        read_as=table.text("read_as"),
        write=table.text("write"),
        after_number=table.truth("after_number", False),
        as_is=table.truth("as_is", False),
        origin=take_origin(table),
    )
    if not made.writes:
        table.fault("writes", "an entry has a spelling", "none", '["cc"]')
    table.done()
    return made
