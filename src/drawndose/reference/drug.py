"""Drugs by the names people write, and the moieties between which a stated ratio converts."""

from dataclasses import dataclass

from drawndose.quantities import Quantity
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Equivalence:
    """A stated equality between amounts of two moieties: `this` of one is `equals` of the other."""

    id: str
    this: Quantity
    equals: Quantity
    origin: Origin

    def convert(self, amount: Quantity) -> Quantity:
        """An amount of one moiety as an amount of the other, whichever way round. Unlike when it is of neither."""
        if amount.of == self.this.of:
            return (amount * (self.equals / self.this)).to(str(self.equals.unit))
        return (amount * (self.this / self.equals)).to(str(self.this.unit))


@dataclass(frozen=True, slots=True, kw_only=True)
class Moiety:
    """What a strength or an order may count: the base, a salt, or units."""

    id: str
    kind: str
    also: tuple[str, ...]
    equivalences: tuple[Equivalence, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drug:
    """A drug, its other names, and its moieties. listed: its name with the capitals that a list of look-alike names prints; mostly none."""

    id: str
    also: tuple[str, ...]
    moieties: tuple[Moiety, ...]
    listed: str = ""

    @property
    def name(self) -> str:
        """The generic name as people read it."""
        return self.id.replace("-", " ")

    def spelled(self, moiety: str) -> str:
        """The name of one of its moieties as a label writes it: with the listed capitals, where a list has the drug."""
        return moiety.replace(self.name, self.listed) if self.listed else moiety

    def moiety(self, ident: str) -> Moiety | None:
        """The moiety of this id, or None."""
        return next((moiety for moiety in self.moieties if moiety.id == ident), None)

    @property
    def in_units(self) -> str | None:
        """The moiety that is counted in units, where the drug has one."""
        return next((moiety.id for moiety in self.moieties if moiety.kind == "units"), None)

    def equivalences_between(self, one: str, other: str) -> tuple[Equivalence, ...]:
        """Every stated equality between two moieties; more than one means that someone must choose."""
        return tuple(
            equivalence
            for moiety in self.moieties
            for equivalence in moiety.equivalences
            if {equivalence.this.of[0][0], equivalence.equals.of[0][0]} == {one, other}
        )


def take_drug(table: Table) -> Drug:
    """One record of drugs.toml."""
    drug = Drug(
        id=table.text("id"),
        also=table.texts("also"),
        moieties=tuple(_moiety(one) for one in table.tables("moieties")),
        listed=_listed(table),
    )
    table.done()
    return drug


def _listed(table: Table) -> str:
    """A listed spelling changes capitals and nothing else, and names the list that has it."""
    listed = table.text("listed", "")
    if not listed:
        return ""
    take_origin(table)
    name = table.text("id").replace("-", " ")
    if listed.lower() != name or listed == name:
        table.fault("listed", "the drug's own name with the capitals of a list", listed, "EPINEPHrine for epinephrine")
    return listed


def _moiety(table: Table) -> Moiety:
    name = table.text("id")
    several = tuple(_equivalence(one, name) for one in table.tables("equivalences"))
    kind, also = table.text("kind"), table.texts("also")
    if table.has("this"):
        several += (_equivalence(table, name),)
    table.done()
    return Moiety(id=name, kind=kind, also=also, equivalences=tuple(one for one in several if one is not None))


def _equivalence(table: Table, moiety: str) -> Equivalence | None:
    ident = table.text("id")
    this = table.quantity("this", "", moiety)
    equals = table.quantity("equals", "", table.text("of"))
    origin = take_origin(table)
    if "equivalences" in table.where:
        table.done()
    if this is None or equals is None or not this.of or not equals.of:
        table.fault("this", "an equivalence has an amount on both sides", str(this), 'this = "1.2 mg", equals = "1 mg"')
        return None
    return Equivalence(id=ident, this=this, equals=equals, origin=origin)
