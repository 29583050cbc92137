"""One strength of one drug in one kind of container, as supplied, with every printed value and where it is printed."""

from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property

from drawndose.quantities import Form, Quantity, Strength
from drawndose.reference.provenance import How, Origin, Statement, take_origin
from drawndose.reference.published import PublishedDose, take_dose
from drawndose.reference.table import Table


class Container(Enum):
    """The closed list of container kinds. Never inferred from a word on a carton: an "ampule" may be plastic."""

    DROPPER_BOTTLE = "dropper bottle"
    STOPPERED_VIAL = "stoppered vial"
    GLASS_AMPOULE = "glass ampoule"
    PLASTIC_UNIT_DOSE = "plastic unit dose"
    POWDER_VIAL = "powder vial"
    BULK = "bulk"


class ByNebulizer(Enum):
    """What the label says of giving it by nebulizer."""

    LABELLED = "labelled"
    OFF_LABEL = "off-label"
    OWN_DEVICE = "own device only"
    DILUENT = "diluent"


class DilutionRule(Enum):
    """How the label wants it in the cup."""

    TO_TOTAL = "to a total"
    ADD = "add"
    NOT_NEEDED = "not needed"
    NEVER = "never"
    ALLOWED = "allowed"
    RECONSTITUTE = "reconstitute only"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """One fill size: a volume, or for a powder an amount. The other one is None."""

    volume: Quantity | None
    amount: Quantity | None
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Active:
    """One active part: what the strength counts (moiety), the exact strength that is used, and the printed words."""

    moiety: str
    strength: Strength
    printed: str
    disagreement: str
    origin: Origin

    def amount_in(self, volume: Quantity | None) -> Quantity:
        """The amount in one container of this fill (for a powder: the amount per container)."""
        if self.strength.form is Form.PER_CONTAINER or volume is None:
            return self.strength.amount
        return self.strength.amount_in(volume)


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """A preservative or excipient, with its strength in the liquid or amount in a container where one is printed."""

    substance: str
    role: str
    strength: Strength | None
    amount: Quantity | None
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Dilution:
    """The label's dilution rule; volume to up_to where it prints a range; which diluents; may it go in undiluted."""

    rule: DilutionRule
    volume: Quantity | None
    up_to: Quantity | None
    diluents: tuple[str, ...]
    undiluted: bool
    says: str
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Reconstitution:
    """What to add to a powder, what never, and the resulting volume and strength."""

    add: Quantity
    diluents: tuple[str, ...]
    never_with: tuple[str, ...]
    gives: Quantity | None
    strength: Strength | None
    manner: str
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Osmolarity:
    """The osmolarity that a label prints (most print the ideal, calculated one), in mOsm/L."""

    value: Quantity
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Life:
    """How long it lasts after an event; lasts is text as printed ("96 h", "at once", "none printed"). kept: only kept so."""

    after: str
    lasts: str
    when: str
    kept: str = ""
    origin: Origin

    @property
    def how_sure(self) -> bool:
        """False for a life from memory, which is no label's."""
        return self.origin.how is not How.MEMORY


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Any other printed fact, by topic."""

    topic: str
    says: str
    origin: Origin


@dataclass(frozen=True, kw_only=True)
class Presentation:
    """One strength of one drug in one kind of container, as supplied."""

    id: str
    drug: str
    also_drugs: tuple[str, ...]
    name: str
    container: Container
    multi_dose: bool
    by_nebulizer: ByNebulizer
    label: Statement
    measure: str
    diluent: str
    osmolarity: Osmolarity | None
    packs: tuple[Pack, ...]
    actives: tuple[Active, ...]
    carries: tuple[Carried, ...]
    free_of: tuple[Carried, ...]
    dilution: Dilution | None
    reconstitution: Reconstitution | None
    lives: tuple[Life, ...]
    doses: tuple[PublishedDose, ...]
    notes: tuple[Note, ...] = field(default=())

    @cached_property
    def drugs(self) -> tuple[str, ...]:
        """Every drug in it, the first one first."""
        return (self.drug, *self.also_drugs)

    def active_of(self, moieties: frozenset[str]) -> Active | None:
        """The active part that counts one of these moieties, or None."""
        return next((active for active in self.actives if active.moiety in moieties), None)

    def notes_on(self, topic: str) -> tuple[Note, ...]:
        """Every note on a topic."""
        return tuple(note for note in self.notes if note.topic == topic)

    def origins(self) -> tuple[Origin, ...]:
        """Every origin that this record names, for the test that each one resolves."""
        several = (self.packs, self.actives, self.carries, self.free_of, self.lives, self.doses, self.notes)
        single = (self.dilution, self.reconstitution, self.osmolarity)
        found = [self.label.origin, *(part.origin for parts in several for part in parts)]
        return (*found, *(part.origin for part in single if part is not None))


def take_presentation(table: Table) -> Presentation:
    """Build one presentation out of its TOML table; faults go to the table's list."""
    presentation = Presentation(
        id=table.text("id"),
        drug=table.text("drug"),
        also_drugs=table.texts("also_drugs"),
        name=table.text("name"),
        container=table.choice("container", Container),
        multi_dose=table.text("doses") == "multi",
        by_nebulizer=table.choice("by_nebulizer", ByNebulizer),
        label=_label(table),
        measure=table.text("measure", ""),
        diluent=table.text("diluent", ""),
        osmolarity=_osmolarity(table.table("osmolarity")),
        packs=tuple(_pack(one) for one in table.tables("pack")),
        actives=tuple(_active(one) for one in table.tables("active")),
        carries=tuple(_carried(one) for one in table.tables("carries")),
        free_of=tuple(_carried(one) for one in table.tables("free_of")),
        dilution=_dilution(table.table("dilution")),
        reconstitution=_reconstitution(table),
        lives=tuple(_life(one) for one in table.tables("life")),
        doses=tuple(take_dose(one, _first_moiety(table)) for one in table.tables("dose")),
        notes=tuple(_note(one) for one in table.tables("note")),
    )
    table.done()
    return presentation


def _label(table: Table) -> Statement:
    label = table.table("label") or Table({}, f"{table.where}.label", table.faults)
    made = Statement(says=label.text("says"), origin=take_origin(label))
    label.done()
    return made


def _pack(table: Table) -> Pack:
    volume, amount = table.quantity("volume", "volume"), table.quantity("amount", "mass")
    if (volume is None) is (amount is None):
        table.fault(
            "volume", "a pack has a volume, or an amount for a powder", str(volume or amount), "20 mL, or 300 mg"
        )
    made = Pack(volume=volume, amount=amount, origin=take_origin(table))
    table.done()
    return made


def _active(table: Table) -> Active:
    moiety = table.text("moiety")
    strength = table.strength("strength", moiety)
    if strength is None:
        table.fault("strength", "an active part needs a strength", "", "5 mg/mL, 2.5 mg/3 mL, 300 mg/vial")
        strength = _NO_STRENGTH
    made = Active(
        moiety=moiety,
        strength=strength,
        printed=table.text("printed"),
        disagreement=table.text("disagreement", ""),
        origin=take_origin(table),
    )
    table.done()
    return made


_NO_STRENGTH = Strength(
    amount=Quantity.of_text(1, "mg"), per=Quantity.of_text(1, "mL"), form=Form.PER_VOLUME
)  # stands in only while the loader gathers the remaining faults; the record is refused


def _carried(table: Table) -> Carried:
    substance = table.text("substance")
    made = Carried(
        substance=substance,
        role=table.text("role", ""),
        strength=table.strength("strength", substance),
        amount=table.quantity("amount", "mass", substance),
        origin=take_origin(table),
    )
    table.done()
    return made


def _dilution(table: Table | None) -> Dilution | None:
    if table is None:
        return None
    made = Dilution(
        rule=table.choice("rule", DilutionRule),
        volume=table.quantity("volume", "volume"),
        up_to=table.quantity("up_to", "volume"),
        diluents=table.texts("with"),
        undiluted=table.text("undiluted", "allowed") == "allowed",
        says=table.text("says"),
        origin=take_origin(table),
    )
    table.done()
    return made


def _reconstitution(parent: Table) -> Reconstitution | None:
    table = parent.table("reconstitution")
    if table is None:
        return None
    add = table.quantity("add", "volume")
    if add is None:
        table.fault("add", "a powder needs a volume to add", "", "6 mL")
    made = Reconstitution(
        add=add or Quantity.of_text(0, "mL"),
        diluents=table.texts("with"),
        never_with=table.texts("never_with"),
        gives=table.quantity("gives", "volume"),
        strength=table.strength("strength", _first_moiety(parent)),
        manner=table.text("manner", ""),
        origin=take_origin(table),
    )
    table.done()
    return made


def _first_moiety(table: Table) -> str:
    """What the first active part counts; nothing where there is none."""
    actives = table.values.get("active")
    first = actives[0] if isinstance(actives, list) and actives else {}
    return str(first.get("moiety", "")) if isinstance(first, dict) else ""


def _osmolarity(table: Table | None) -> Osmolarity | None:
    if table is None:
        return None
    value = table.quantity("is", "")
    if value is None:
        table.fault("is", "an osmolarity needs its value", "", "308 mOsm/L")
    made = Osmolarity(value=value or Quantity.of_text(0, "mOsm/L"), origin=take_origin(table))
    table.done()
    return made


def _life(table: Table) -> Life:
    made = Life(
        after=table.text("after"),
        lasts=table.text("lasts"),
        when=table.text("when", ""),
        kept=table.text("kept", ""),
        origin=take_origin(table),
    )
    table.done()
    return made


def _note(table: Table) -> Note:
    made = Note(topic=table.text("topic"), says=table.text("says"), origin=take_origin(table))
    table.done()
    return made
