"""A template of tasks: a closed list of reviewed rows, never free numbers, read from the packaged data.

A row and one of its fills and frequencies make one task (`draw_up`), where `constraints` finds nothing against it.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from importlib.resources import files

from drawndose.lab.reading import Data, refused, version_of, whole
from drawndose.lab.tasks.task import Difficulty, Flaw, TaskKind
from drawndose.quantities import Fault, gather, unit
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One reviewed row: the dose as the order writes it, what the cup is made up to ("" for none), the weight, how hard it is."""

    dose: str
    fills: tuple[str, ...]
    weight: str
    difficulty: Difficulty


@dataclass(frozen=True, kw_only=True, eq=False)
class Template:
    """One template.

    order: the order's text with {dose}, {fill}, {often}, {weight}. drug, diluent: ids of presentations; packs by their size.
    strength: as the learner reads it on the label. measures: ids of the instruments laid out; a bottle brings its own dropper.
    tolerance: share of the measured volume. allows: rules whose cautions are a part of the task. flaw and stops_by: what is
    wrong, and the rule of the engine that must find it, or the field that the engine must ask for, or "" where it has no way.
    """

    id: str
    title: str
    form: str
    kind: TaskKind
    order: str
    drug: str
    drug_pack: str
    strength: str
    diluent: str
    diluent_pack: str
    cup: str
    measures: tuple[str, ...]
    often: tuple[str, ...]
    tolerance: Fraction
    minutes: int
    say: tuple[str, ...]
    write: tuple[str, ...]
    rows: tuple[Row, ...]
    allows: tuple[str, ...] = ()
    flaw: Flaw = Flaw.NONE
    stops_by: str = ""
    data: Data

    @cached_property
    def version(self) -> str:
        """Its content's SHA-256."""
        return version_of(self.data)

    @property
    def picks(self) -> tuple[tuple[int, int, int], ...]:
        """Every task that it could make: row, fill and frequency by their places."""
        return tuple(
            (row, fill, often)
            for row, one in enumerate(self.rows)
            for fill in range(len(one.fills) or 1)
            for often in range(len(self.often))
        )


def read_template(data: Data) -> Template:
    """The template that data say. Refused, with every fault, for what is none."""
    faults: list[Fault] = []
    table = Table(data, str(data.get("id", "template")), faults)
    tolerance = table.quantity("tolerance", "")
    made = Template(
        id=table.text("id"),
        title=table.text("title"),
        form=table.text("form"),
        kind=table.choice("kind", TaskKind),
        order=table.text("order"),
        drug=table.text("drug"),
        drug_pack=table.text("drug_pack"),
        strength=table.text("strength"),
        diluent=table.text("diluent", " ").strip(),
        diluent_pack=table.text("diluent_pack", " ").strip(),
        cup=table.text("cup"),
        measures=table.texts("measures"),
        often=table.texts("often"),
        tolerance=tolerance.base if tolerance is not None and tolerance.unit == unit("%") else Fraction(0),
        minutes=whole(table, "minutes", 1, 240),
        say=table.texts("say"),
        write=table.texts("write"),
        rows=tuple(_row(one) for one in table.tables("row")),
        allows=table.texts("allows"),
        flaw=table.choice("flaw", Flaw, Flaw.NONE),
        stops_by=table.text("stops_by", " ").strip(),
        data=data,
    )
    table.done()
    gather([*faults, *_faults(made)])
    return made


def _row(table: Table) -> Row:
    made = Row(
        dose=table.text("dose", " ").strip(),
        fills=table.texts("fills"),
        weight=table.text("weight", " ").strip(),
        difficulty=table.choice("difficulty", Difficulty),
    )
    table.done()
    return made


def _faults(made: Template) -> list[Fault]:
    found = []
    if not made.rows or not made.often:
        came, accepted = f"{len(made.rows)} rows, {len(made.often)} frequencies", "one or more of each"
        found.append(Fault(field=made.id, rule="a template has rows and frequencies", came=came, accepted=accepted))
    if (made.kind is TaskKind.STOP) is (made.flaw is Flaw.NONE):
        rule = "what is wrong is said of a task to stop at, and of no other"
        found.append(Fault(field=f"{made.id}.flaw", rule=rule, came=made.flaw.value, accepted="another flaw, or none"))
    if not 0 < made.tolerance < 1:
        rule, came = "a tolerance is a share of the volume", str(made.tolerance)
        found.append(Fault(field=f"{made.id}.tolerance", rule=rule, came=came, accepted="10 %"))
    return found


@lru_cache(maxsize=1)
def templates() -> tuple[Template, ...]:
    """Every template that comes with the house, in the order of their files."""
    folder = files("drawndose.lab") / "data" / "tasks"
    found = sorted((one for one in folder.iterdir() if one.name.endswith(".toml")), key=lambda one: one.name)
    read = (tomllib.loads(one.read_text(encoding="utf-8")) for one in found)
    return tuple(read_template(one) for data in read for one in data["template"])


def template(ident: str) -> Template:
    """The template of this id. Refused when there is none."""
    for one in templates():
        if one.id == ident:
            return one
    raise refused(
        "template", "no template of this id comes with the house", ident, ", ".join(one.id for one in templates())
    )
