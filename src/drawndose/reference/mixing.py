"""What was said of drugs in one cup: each statement on two or three of them, its verdict, and how long it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum

from drawndose.quantities import Quantity
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table

ANY = "any"
"""Stands in a statement for whatever else goes into the cup."""


class Verdict(Enum):
    """What one source says. ADVISED_AGAINST: a source that is no label speaks against it, and shows no fault."""

    INCOMPATIBLE = "incompatible"
    FORBIDDEN = "label forbids"
    CONFLICTING = "conflicting"
    ADVISED_AGAINST = "advised against"
    NO_DATA = "no data"
    COMPATIBLE = "compatible"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """One statement.

    of: two or three names: a drug, a presentation, a substance that a product carries, or ANY. within: for how long it
    was found or is allowed. preservative_free: it counts only where nothing preserved goes in. by and says: who says
    what, the two halves of a sentence.
    """

    of: tuple[str, ...]
    verdict: Verdict
    within: Quantity | None
    preservative_free: bool
    by: str
    says: str
    origin: Origin

    @property
    def told(self) -> str:
        """Who says what."""
        return f"{self.by} {self.says}"


class Mixtures:
    """Every statement, found by its names in whatever order."""

    def __init__(self, statements: Iterable[Mixture]) -> None:
        self.statements = tuple(statements)
        self._by_names: dict[tuple[str, ...], list[Mixture]] = {}
        for one in self.statements:
            self._by_names.setdefault(tuple(sorted(one.of)), []).append(one)

    def __iter__(self) -> Iterator[Mixture]:
        return iter(self.statements)

    def of(self, *names: str) -> tuple[Mixture, ...]:
        """The statements on exactly these names."""
        return tuple(self._by_names.get(tuple(sorted(names)), ()))


def take_mixtures(table: Table) -> Mixtures:
    """The file of mixtures."""
    statements = tuple(_mixture(one) for one in table.tables("mixture"))
    table.done()
    return Mixtures(statements)


def _mixture(table: Table) -> Mixture:
    names = table.texts("of")
    named = [name for name in names if name != ANY]
    if len(names) not in {2, 3} or len(set(named)) < len(named):
        table.fault("of", "a statement is on two or three names, each once", ", ".join(names), '["albuterol", "any"]')
    made = Mixture(
        of=names,
        verdict=table.choice("verdict", Verdict),
        within=table.quantity("within", "time"),
        preservative_free=table.truth("preservative_free", False),
        by=table.text("by"),
        says=table.text("says"),
        origin=take_origin(table),
    )
    table.done()
    return made
