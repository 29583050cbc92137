"""What a patient may not tolerate beside a drug: an excipient by the names people write, and how labels write it."""

from dataclasses import dataclass

from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleared:
    """A drug that a sensitivity is wrongly held against, with the reason."""

    drug: str
    says: str
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """One excipient, or a kind of them.

    also: other names that people write. named: pieces of the names under which labels list it. cleared: drugs whose
    products do not hold it, against a widespread belief.
    """

    id: str
    also: tuple[str, ...]
    named: tuple[str, ...]
    cleared: tuple[Cleared, ...]

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
        cleared=tuple(_cleared(one) for one in table.tables("cleared")),
    )
    if not made.named:
        table.fault("named", "a sensitivity needs the names that labels use", "none", '["sulfite"]')
    table.done()
    return made


def _cleared(table: Table) -> Cleared:
    made = Cleared(drug=table.text("drug"), says=table.text("says"), origin=take_origin(table))
    table.done()
    return made
