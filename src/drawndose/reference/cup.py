"""What holds the fill: cups and reservoirs. A cup is not a measure."""

from dataclasses import dataclass

from drawndose.quantities import Quantity
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Cup:
    """What holds the fill: how much it holds and how much it needs to work, mL. Never a measure."""

    id: str
    name: str
    holds: Quantity
    needs: Quantity
    origin: Origin


def take_cup(table: Table) -> Cup:
    """One cup or reservoir of the instruments file."""
    holds, needs = table.needed_ml("holds"), table.needed_ml("needs")
    if needs > holds:
        table.fault("needs", "a cup cannot need more than it holds", table.text("needs"), table.text("holds"))
    made = Cup(
        id=table.text("id"),
        name=table.text("name"),
        holds=Quantity.of_text(holds, "mL"),
        needs=Quantity.of_text(needs, "mL"),
        origin=take_origin(table),
    )
    table.done()
    return made
