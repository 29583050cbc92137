"""What a patient may not tolerate beside one drug: an excipient by the names people write and how labels write it; a class of drugs."""

from dataclasses import dataclass
from typing import TypeVar

from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleared:
    """A drug that a sensitivity is wrongly held against, with the reason."""

    drug: str
    says: str
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """A drug of the catalogue that somebody with this sensitivity may not tolerate either, with the reason."""

    drug: str
    says: str
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """One excipient, or a kind of them; or a class of drugs, or another drug of it.

    also: other names that people write. named: pieces of the names under which labels list it; none for a class. cleared: drugs whose
    products do not hold it, against a widespread belief. bars: drugs of the class.
    """

    id: str
    also: tuple[str, ...]
    named: tuple[str, ...]
    cleared: tuple[Cleared, ...]
    bars: tuple[Barred, ...] = ()

    def is_in(self, substance: str) -> bool:
        """True for an excipient of this name."""
        return any(piece in substance.lower() for piece in self.named)


def take_sensitivities(table: Table) -> tuple[Sensitivity, ...]:
    """Every record of sensitivities.toml."""
    made = tuple(_sensitivity(one) for one in table.tables("sensitivity"))
    table.done()
    return made


def _sensitivity(table: Table) -> Sensitivity:
    made = Sensitivity(
        id=table.text("id"),
        also=table.texts("also"),
        named=table.texts("named"),
        cleared=tuple(_drug(one, Cleared) for one in table.tables("cleared")),
        bars=tuple(_drug(one, Barred) for one in table.tables("bars")),
    )
    if not made.named and not made.bars:
        table.fault(
            "named", "a sensitivity needs the names that labels use, or drugs that it bars", "none", '["sulfite"]'
        )
    table.done()
    return made


Kind = TypeVar("Kind", Cleared, Barred)


def _drug(table: Table, kind: type[Kind]) -> Kind:
    made = kind(drug=table.text("drug"), says=table.text("says"), origin=take_origin(table))
    table.done()
    return made
