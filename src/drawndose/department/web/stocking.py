"""The instruments page: what was asked in its address, and the measuring table as the page shows it.

Everything typed is kept as typed. A number without a unit takes the next unit of the list ("0.05, 0.4 mL"), and a comma
without a blank after it never parts two volumes: "0,4 mL" is asked back, not read as 0 and 4 mL.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from urllib.parse import urlencode

from django.http import QueryDict

from drawndose.bench.draws import ml
from drawndose.bench.measuring_table import VOLUMES, Cell, Fit, MeasuringTable, measuring_table
from drawndose.bench.takes import percent
from drawndose.department.web.shown import source_words
from drawndose.department.web.working_cell import Worked, worked_cell
from drawndose.quantities import Fault, Manner, Refused, read_number, read_quantity, show_number
from drawndose.reference import Catalogue, How, Instrument, Kind, Origin, Tolerance

LIMITS = ("5 %", "10 %", "15 %", "20 %")
USUAL = "10 %"
MOST_VOLUMES = 60
LIMIT_ACCEPTED, VOLUMES_ACCEPTED = "5 %, 10 %, 12.5 %", "0.05, 0.4 mL"
SIGNS = {
    Fit.ACCEPTABLE: ("acceptable", "check"),
    Fit.CAUTION: ("caution", "triangle-alert"),
    Fit.BETWEEN: ("between", "between-lines"),
    Fit.NOT: ("not", "no-measure"),
}
HOW_SURELY = {
    How.READ: "read in that source",
    How.SECONDARY: "read in a text that quotes it",
    How.MEMORY: "from memory, not confirmed: look it up before you rely on it",
    How.COMPUTED: "computed from it",
    How.PRACTICE: "common practice, no published source read",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """The form as it came."""

    limit: str = USUAL
    volumes: str = ""
    tips: bool = False
    cell: str = ""

    def address(self, **changed: object) -> str:
        """The query that asks for the same, with what is changed; what is empty is left out."""
        state = {"limit": self.limit, "volumes": self.volumes, "tips": "yes" if self.tips else "", "cell": self.cell}
        return f"?{urlencode({name: value for name, value in (state | changed).items() if value})}"


@dataclass(frozen=True, slots=True, kw_only=True)
class CellShown:
    """One cell: the name of its tint, its sign, word and number, where it leads, and whether it is the pressed one."""

    tint: str
    icon: str
    word: str
    number: str
    volume: Fraction
    leads: str
    pressed: bool
    holds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One instrument of one capacity. tips: those that it comes with; they change nothing in what it measures."""

    instrument: Instrument
    name: str
    scale: str
    tips: str
    smallest: str
    cells: tuple[CellShown, ...]
    open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule of permissible error in words, for which instruments, its source, and how surely it was read."""

    measures: str
    says: str
    source: str
    how: str
    memory: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocking:
    """One answered form. columns is empty while something of the limit or the volumes was refused."""

    wanted: Wanted
    limit: str = ""
    twice: str = ""
    columns: tuple[Column, ...] = ()
    rows: tuple[tuple[Fraction, tuple[CellShown, ...]], ...] = ()
    worked: Worked | None = None
    faults: tuple[Fault, ...] = ()

    def at(self, name: str) -> tuple[Fault, ...]:
        """The faults of one box."""
        return tuple(fault for fault in self.faults if fault.field == name)


def read_wanted(query: QueryDict) -> Wanted:
    """The form's own state; a pressed limit goes before the typed one."""
    return Wanted(
        limit=(query.get("choose") or query.get("limit", USUAL)).strip(),
        volumes=query.get("volumes", ""),
        tips=query.get("tips") == "yes",
        cell=query.get("cell", ""),
    )


def stocking(wanted: Wanted, book: Catalogue) -> Stocking:
    """Read, and make the table. Faults of the limit, the volumes and the cell come back together."""
    faults: list[Fault] = []
    groups = _groups(book.instruments)
    volumes: tuple[Fraction, ...] = ()
    table: MeasuringTable | None = None
    worked: Worked | None = None
    limit = Fraction(0)
    try:
        limit = read_limit(wanted.limit)
    except Refused as refused:
        faults += refused.faults
    try:
        volumes = read_volumes(wanted.volumes) or VOLUMES
    except Refused as refused:
        faults += refused.faults
    try:
        if not faults:
            table = measuring_table((group[0] for group in groups), limit=limit, volumes=volumes)
            worked = _pressed(wanted.cell, table, book) if wanted.cell else None
    except Refused as refused:
        faults += refused.faults
    if table is None:
        return Stocking(wanted=wanted, faults=tuple(faults))
    columns = _columns(table, groups, wanted)
    return Stocking(
        wanted=wanted,
        limit=percent(table.limit),
        twice=percent(2 * table.limit),
        columns=columns,
        rows=tuple((volume, tuple(one.cells[place] for one in columns)) for place, volume in enumerate(table.volumes)),
        worked=worked,
        faults=tuple(faults),
    )


def read_limit(text: str) -> Fraction:
    """A limit as a share. Refused unless it is one."""
    try:
        limit = read_quantity(text, field="limit", manner=Manner.READING)
    except Refused as refused:
        raise Refused([replace(fault, accepted=LIMIT_ACCEPTED) for fault in refused.faults]) from refused
    if limit.dimension or not 0 < limit.base <= 1:
        rule = "the limit is a share of the volume, over 0 and at most 100 %"
        raise Refused([Fault(field="limit", rule=rule, came=text, accepted=LIMIT_ACCEPTED)])
    return limit.base


def read_volumes(text: str) -> tuple[Fraction, ...]:
    """Volumes in mL, sorted, each once; empty for an empty text. Refused with every fault in the list."""
    pieces = [piece.strip() for piece in re.split(r",(?=\s)|[;\n]", text.rstrip(" ,;\n\r")) if piece.strip()]
    if len(pieces) > MOST_VOLUMES:
        rule = f"at most {MOST_VOLUMES} volumes"
        raise Refused([Fault(field="volumes", rule=rule, came=f"{len(pieces)} volumes", accepted=VOLUMES_ACCEPTED)])
    faults: list[Fault] = []
    volumes: set[Fraction] = set()
    unit = ""
    for piece in reversed(pieces):
        found = re.search(r"[^\d.,\s].*$", piece)
        unit = found[0] if found else unit
        try:
            volumes.add(_volume(piece if found else f"{piece} {unit}", piece))
        except Refused as refused:
            faults = [*refused.faults, *faults]
    if faults:
        raise Refused(faults)
    return tuple(sorted(volumes))


def _volume(text: str, came: str) -> Fraction:
    try:
        volume = read_quantity(text, field="volumes", manner=Manner.READING)
    except Refused as refused:
        raise Refused(_of_volumes(one, came) for one in refused.faults) from refused
    if volume.dimension != (("volume", 1),) or not volume.value:
        rule = "a volume of more than 0 is wanted"
        raise Refused([Fault(field="volumes", rule=rule, came=came, accepted=VOLUMES_ACCEPTED)])
    return volume.to("mL").value


def _of_volumes(fault: Fault, came: str) -> Fault:
    """The reader names what it accepts for any amount; here it is volumes. What it says about one number is kept."""
    joined = re.search(r"\d,\d", came) is not None and "comma" not in fault.rule
    if not joined and not fault.accepted.startswith(("a number with its unit", "2.5 mg")):
        return fault
    rule = "a blank is needed after each comma" if joined else fault.rule
    return replace(fault, rule=rule, came=came, accepted=VOLUMES_ACCEPTED)


def _pressed(cell: str, table: MeasuringTable, book: Catalogue) -> Worked:
    """The pressed cell, "instrument,volume in mL", worked out."""
    ident, _, text = cell.partition(",")
    known = {one.id: one for one in book.instruments}
    if ident not in known:
        rule = "there is no such instrument in the table"
        raise Refused([Fault(field="cell", rule=rule, came=cell[:80], accepted="a cell of the table")])
    volume = read_number(text, field="cell")
    if not volume:
        raise Refused([Fault(field="cell", rule="a volume of more than 0 is wanted", came=cell, accepted="0.5")])
    return worked_cell(known[ident], volume, table)


def _groups(instruments: Iterable[Instrument]) -> tuple[tuple[Instrument, ...], ...]:
    """The instruments that differ in nothing but the tip, together."""
    groups: dict[str, list[Instrument]] = {}
    for one in instruments:
        groups.setdefault(one.name.partition(",")[0], []).append(one)
    return tuple(tuple(group) for group in groups.values())


def _columns(table: MeasuringTable, groups: tuple[tuple[Instrument, ...], ...], wanted: Wanted) -> tuple[Column, ...]:
    made = []
    for row, group in zip(table.rows, groups, strict=True):
        one = row.instrument
        cells = tuple(_cell(cell, one, volume, wanted) for cell, volume in zip(row.cells, table.volumes, strict=True))
        made.append(
            Column(
                instrument=one,
                name=one.name.partition(",")[0],
                scale=_scale(one),
                tips=" or ".join(tip.name.partition(", ")[2] for tip in group) if one.kind is Kind.SYRINGE else "",
                smallest=_smallest(row.smallest),
                cells=cells,
                open=any(cell.pressed for cell in cells),
            )
        )
    return tuple(made)


def _scale(one: Instrument) -> str:
    if one.kind is Kind.DROPPER:
        return f"marks at {' and '.join(ml(mark).removesuffix(' mL') for mark in one.marks)} mL only"
    return f"marks every {ml(one.step)}"


def _smallest(volume: Fraction | None) -> str:
    if volume is None:
        return "never"
    return ml(volume) if volume else "any mark"


def _cell(cell: Cell, one: Instrument, volume: Fraction, wanted: Wanted) -> CellShown:
    tint, icon = SIGNS[cell.fit]
    holds = volume <= one.capacity
    key = f"{one.id},{show_number(volume).replace(',', '')}"
    return CellShown(
        tint=tint if holds else "over",
        icon=icon,
        word=cell.fit.value if holds else "does not fit",
        number=_number(cell.share) if cell.share is not None else "",
        volume=volume,
        leads=f"{wanted.address(cell=key)}#worked",
        pressed=wanted.cell == key,
        holds=holds,
    )


def _number(share: Fraction) -> str:
    """The share for a narrow cell: "≈" where it is rounded, and no figure over the volume itself."""
    return ">100 %" if share > 1 else percent(share).replace("about ", "≈")


def rules(book: Catalogue) -> tuple[Rule, ...]:
    """Every rule that an instrument of the table has."""
    by_rule: dict[str, tuple[Tolerance, list[str]]] = {}
    for group in _groups(book.instruments):
        tolerance = group[0].tolerance
        by_rule.setdefault(tolerance.id, (tolerance, []))[1].append(group[0].name.partition(",")[0])
    return tuple(
        Rule(
            measures=", ".join(names),
            says=_rule_words(rule),
            source=source_words(rule.origin, book),
            how=_how(rule.origin),
            memory=_in_memory(rule.origin),
        )
        for rule, names in by_rule.values()
    )


def scales(book: Catalogue) -> tuple[tuple[str, str, str], ...]:
    """Every instrument, its marks, and where they are from."""
    firsts = (group[0] for group in _groups(book.instruments))
    return tuple((one.name.partition(",")[0], _scale(one), source_words(one.origin, book)) for one in firsts)


def _rule_words(rule: Tolerance) -> str:
    if not rule.below_half_of_capacity and rule.below_half_of_volume == rule.from_half_of_volume:
        return f"{percent(rule.from_half_of_volume)} of the volume, at every mark."
    below = (
        f"{percent(rule.below_half_of_capacity)} of the capacity + {percent(rule.below_half_of_volume)} of the volume"
    )
    return f"Below half of the capacity: {below}. From half up: {percent(rule.from_half_of_volume)} of the volume."


def _in_memory(origin: Origin) -> bool:
    return origin.how is How.MEMORY or "from memory" in origin.at


def _how(origin: Origin) -> str:
    if origin.how is not How.MEMORY and _in_memory(origin):
        return f"{HOW_SURELY[origin.how]}; in part from memory, as named there: look that part up before you rely on it"
    return HOW_SURELY[origin.how]


def instruments_page(wanted: Wanted, book: Catalogue) -> dict[str, object]:
    """Everything that the instruments page names."""
    answer = stocking(wanted, book)
    return {
        "answer": answer,
        "wanted": wanted,
        "choices": tuple((limit, wanted.limit == limit) for limit in LIMITS),
        "says": _announced(answer),
        "limit_faults": answer.at("limit"),
        "volume_faults": answer.at("volumes"),
        "example": f"{wanted.address(cell='syringe-3,0.1')}#worked",
        "legend": _legend(answer),
        "rules": rules(book),
        "scales": scales(book),
    }


def _announced(answer: Stocking) -> str:
    count = len(answer.faults)
    if count:
        return f"{count} thing{'s' if count > 1 else ''} could not be accepted."
    rows = len(answer.rows)
    return f"{len(answer.columns)} instruments, {rows} volume{'s' if rows > 1 else ''}, limit {answer.limit}."


def _legend(answer: Stocking) -> tuple[tuple[str, str, str, str], ...]:
    """Each word of the table with its tint, its sign and what it means."""
    limit, twice = answer.limit, answer.twice
    return (
        ("acceptable", "check", "acceptable", f"permissible error at most {limit} of the volume"),
        ("caution", "triangle-alert", "caution", f"over {limit}, at most {twice}"),
        (
            "between",
            "between-lines",
            "between lines",
            f"no line at this volume; a number, where one stands, is at most {twice}",
        ),
        ("not", "no-measure", "not measurable", f"over {twice}"),
        ("over", "no-measure", "does not fit", "more than the instrument holds"),
    )
