"""Check cases: published worked examples in one documented format, shipped with the project or a department's own.

The format is described in docs/reference/case-format.md. Numbers keep the digits as written, so every value is a text,
an int, or a list or table of them; a float never gets in. A key that is not known is refused with the file, the case and
the key, because a mistyped `tolerance` must not make a case stricter or looser than its author meant.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache
from importlib.resources import files

from drawndose.quantities import Fault, Refused, gather
from drawndose.reference.table import Table

Held = str | int | tuple["Held", ...] | Mapping[str, "Held"]
"""What a case holds: a text, a whole number, a list, or a table."""

STANDINGS = ("published", "derived", "memory")
PRINTS = ("exact", "rounded", "cut", "early_rounding", "loose", "convention", "ambiguous", "wrong_text", "wrong")
"""How the print stands to the exact answer. For the last six, `expect` holds what is right, and the print may differ."""

GRADES = ("a", "b", "c")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One check case. kind: area and calculation with a dot between; given and expect: by name; file: where it stands.

    as_printed: what the source prints, as a text or by name. tolerance is absolute, tolerance_relative a share; where
    both are None the answer must be exactly equal.
    """

    file: str
    id: str
    kind: str
    given: Mapping[str, Held]
    expect: Mapping[str, Held]
    standing: str
    source: str
    asked: str = ""
    as_printed: Held | None = None
    print_is: str = ""
    tolerance: Fraction | None = None
    tolerance_relative: Fraction | None = None
    address: str = ""
    note: str = ""
    grade: str = ""
    drug: str = ""
    method: str = ""
    standing_note: str = ""

    @property
    def area(self) -> str:
        """The part of the kind before the dot."""
        return self.kind.partition(".")[0]

    @property
    def name(self) -> str:
        """The part of the kind after the dot."""
        return self.kind.partition(".")[2]


def read_cases(text: str, name: str) -> tuple[Case, ...]:
    """The cases of a TOML text; name is the file's name for messages. Raises Refused with every fault of the file."""
    try:
        values = tomllib.loads(text, parse_float=str)
    except tomllib.TOMLDecodeError as error:
        raise Refused([Fault(field=name, rule=str(error), came="the file", accepted="TOML with [[case]]")]) from error
    faults: list[Fault] = []
    top = Table(values, name, faults)
    cases = tuple(_case(table, name) for table in top.tables("case"))
    top.done()
    seen: set[str] = set()
    for case in cases:
        if case.id in seen:
            faults.append(
                Fault(field=f"{name}.{case.id}", rule="the id stands twice", came=case.id, accepted="one id each")
            )
        seen.add(case.id)
    if not cases and not faults:
        faults.append(Fault(field=name, rule="a file of cases holds at least one", came="none", accepted="[[case]]"))
    gather(faults)
    return cases


def _case(table: Table, file: str) -> Case:
    ident = table.text("id")
    table.where = f"{file}, case {ident}"
    printed = table.raw("as_printed")
    case = Case(
        file=file,
        id=ident,
        kind=table.text("kind"),
        given=_by_name(table, "given"),
        expect=_by_name(table, "expect"),
        standing=_one_of(table, "standing", STANDINGS, None),
        source=table.text("source"),
        asked=table.text("asked", ""),
        as_printed=None if printed is None else _held(table, "as_printed", printed),
        print_is=_one_of(table, "print_is", PRINTS, ""),
        tolerance=_tolerance(table, "tolerance"),
        tolerance_relative=_tolerance(table, "tolerance_relative"),
        address=table.text("address", ""),
        note=table.text("note", ""),
        grade=_one_of(table, "grade", GRADES, ""),
        drug=table.text("drug", ""),
        method=table.text("method", ""),
        standing_note=table.text("standing_note", ""),
    )
    if not case.area or not case.name:
        table.fault("kind", "a kind is an area, a dot and a calculation", case.kind, "sum.dose_to_volume")
    if case.print_is and case.as_printed is None:
        table.fault("print_is", "it says how a print stands, and there is no print", case.print_is, "as_printed")
    table.done()
    return case


def _by_name(table: Table, key: str) -> Mapping[str, Held]:
    inner = table.raw(key)
    if not isinstance(inner, dict) or (key == "expect" and not inner):
        table.fault(key, "a table of values by name is needed", repr(inner), f"[case.{key}]")
        return {}
    return {name: _held(table, f"{key}.{name}", value) for name, value in inner.items()}


def _held(table: Table, key: str, value: object) -> Held:
    if isinstance(value, bool):
        table.fault(key, "a text or a number is wanted", repr(value).lower(), '"2.5 mg", 2')
        return ""
    if isinstance(value, str | int):
        return value
    if isinstance(value, list):
        return tuple(_held(table, key, one) for one in value)
    if isinstance(value, dict):
        return {name: _held(table, f"{key}.{name}", one) for name, one in value.items()}
    if isinstance(value, date):
        return value.isoformat()
    table.fault(key, "a text or a number is wanted", repr(value), '"2.5 mg", 2')
    return ""


def _one_of(table: Table, key: str, words: tuple[str, ...], default: str | None) -> str:
    word = table.text(key, default)
    if word and word not in words:
        table.fault(key, "one word of a closed list is needed", word, ", ".join(words))
    return word


def _tolerance(table: Table, key: str) -> Fraction | None:
    value = table.raw(key)
    if value is None:
        return None
    try:
        made = Fraction(str(value))
    except (ValueError, ZeroDivisionError):
        made = Fraction(-1)
    if made < 0 or isinstance(value, bool):
        table.fault(key, "a number that is not negative is needed", str(value), "0.0001")
        return None
    return made


@cache
def shipped() -> tuple[Case, ...]:
    """Every case that is shipped with the project, file by file."""
    found: list[Case] = []
    folder = files("drawndose.reference.cases")
    for place in sorted(folder.iterdir(), key=lambda one: one.name):
        if place.name.endswith(".toml"):
            found += read_cases(place.read_text(encoding="utf-8"), place.name)
    return tuple(found)
