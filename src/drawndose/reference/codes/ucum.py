"""UCUM codes of the units that are written here, and a strict reader of them.

A quantity is sent as its value and its unit apart: a number never stands inside a unit code, because there a dot multiplies
(2.5.mg is ten milligrams, not two and a half). A drop has no code: UCUM's is a fixed 1/20 mL, and a calibrated dropper is marked in mL.
The reader takes the codes of data/ucum.toml, their products, quotients and whole powers, and nothing else of UCUM.

Sources: UCUM functional tests, read; UCUM specification, secondary; each line of data/ucum.toml.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from drawndose.quantities import Fault, Refused, Unit, gather
from drawndose.quantities.units import BASES
from drawndose.reference.provenance import How, Origin, Source, take_origin, take_source
from drawndose.reference.table import Table

NO_CODE = "this unit is not sent"
NUMBER_INSIDE = "a number does not stand inside a unit code"
NOT_KNOWN = "it is not a unit code that is known here"
SHAPE = "a unit code is terms with a dot or a slash between them"
TWICE = "the same unit stands twice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Coded:
    """A unit with its code, other spellings that are read, or why it has none; and where that stands."""

    unit: str
    code: str
    also: tuple[str, ...]
    why: str
    origin: Origin


def write(unit: Unit) -> str:
    """The code of a unit. Refused for one that is not sent.

    >>> from drawndose.quantities import unit
    >>> write(unit("mcg/kg/min")), write(unit("unit/mL"))
    ('ug/kg/min', '[IU]/mL')
    """
    coded = [(units()[symbol], power) for symbol, power in unit.parts]
    gather(
        Fault(field="unit", rule=NO_CODE, came=one.unit, accepted=f"{one.why}; send the volume in mL")
        for one, _ in coded
        if not one.code
    )
    over = ".".join(_powered(one.code, power) for one, power in coded if power > 0)
    under = "".join(f"/{_powered(one.code, -power)}" for one, power in coded if power < 0)
    return over + under or "1"


def _powered(code: str, power: int) -> str:
    return code if power == 1 else f"{code}{power}"


_TERM = r"(?:\[[^][]+\]|\{[^{}]+\}|%|[A-Za-z]+)[2-9]?"
_GROUP = rf"\({_TERM}(?:[./]{_TERM})*\)"
_SHAPE = re.compile(rf"/?(?:{_TERM}|{_GROUP})(?:[./](?:{_TERM}|{_GROUP}))*", re.ASCII)
_STEP = re.compile(rf"([./]?)({_GROUP}|{_TERM})", re.ASCII)
_NUMBER = re.compile(r"(?:^|[./(])[0-9]", re.ASCII)


def read(code: str, *, field: str = "unit", kg: str = "kg") -> Unit:
    """The unit of a code. Refused when it holds a number, or is none of the codes that are known here.

    kg: "kg" reads kg as a patient's mass, "kilogram" as a mass of substance.

    >>> str(read("ug/(kg.min)"))
    'mcg/kg/min'
    """
    if code == "1":
        return Unit(())
    code = code[1:] if code.startswith("1/") else code
    if _NUMBER.search(re.sub(r"\[[^][]*\]|\{[^{}]*\}", "x", code)):
        raise _refused(field, NUMBER_INSIDE, code, "the number apart: 2.5 and mg")
    if not _SHAPE.fullmatch(code):
        raise _refused(field, SHAPE, code, "mg, mg/mL, ug/kg/min, ug/(kg.min)")
    parts: list[tuple[str, int]] = []
    for mark, piece in _STEP.findall(code):
        outside = -1 if mark == "/" else 1
        for inner, term in _STEP.findall(piece.strip("()")) if piece.startswith("(") else (("", piece),):
            parts.append(_part(term, outside * (-1 if inner == "/" else 1), field, kg))
    if len({symbol for symbol, _ in parts}) < len(parts):
        raise _refused(field, TWICE, code, "each unit once, with its power")
    return Unit(tuple(parts))


def _part(term: str, sign: int, field: str, kg: str) -> tuple[str, int]:
    """The symbol of a term with its power."""
    code, power = (term[:-1], int(term[-1])) if term[-1:].isdigit() else (term, 1)
    symbol = _codes().get(code)
    if symbol is None:
        raise _refused(field, NOT_KNOWN, term, ", ".join(_codes()))
    return (kg if symbol == "kg" else symbol), sign * power


def _refused(field: str, rule: str, came: str, accepted: str) -> Refused:
    return Refused([Fault(field=field, rule=rule, came=came, accepted=accepted)])


@cache
def units() -> Mapping[str, Coded]:
    """Every unit of the closed set with its code. Refused when the packaged file has a fault."""
    text = files("drawndose.reference").joinpath("data/ucum.toml").read_text(encoding="utf-8")
    return read_units(text, "ucum.toml")[0]


@cache
def _codes() -> Mapping[str, str]:
    """Codes, and other spellings that are read, to units; kg is a patient's."""
    by_code = {code: one.unit for one in units().values() for code in (one.code, *one.also) if code}
    return by_code | {"kg": "kg"}


def read_units(text: str, name: str) -> tuple[Mapping[str, Coded], tuple[Source, ...]]:
    """Units with their codes, and the sources, out of TOML. Refused with every fault; every unit of the closed set has its line."""
    faults: list[Fault] = []
    top = Table(tomllib.loads(text), name, faults)
    origin_table = top.table("origin") or Table({}, f"{name}.origin", faults)
    origin = take_origin(origin_table)
    origin_table.done()
    made = [_coded(table, origin) for table in top.tables("unit")]
    sources = tuple(take_source(table) for table in top.tables("source"))
    top.done()
    named = {one.unit for one in made}
    if named != set(BASES) or len(made) > len(named):
        off = ", ".join(sorted(named ^ set(BASES))) or "a unit that stands twice"
        top.fault("unit", "each unit of the closed set has one line", off, ", ".join(BASES))
    gather(faults)
    return {one.unit: one for one in made}, sources


def _coded(table: Table, origin: Origin) -> Coded:
    made = Coded(
        unit=table.text("unit"),
        code=table.text("code", ""),
        also=table.texts("also"),
        why=table.text("why", ""),
        origin=Origin(
            source=table.text("source", origin.source),
            at=table.text("at", origin.at),
            how=table.choice("how", How, origin.how),
        ),
    )
    if bool(made.code) == bool(made.why):
        table.fault("code", "a unit has a code, or a reason why it has none", made.unit, 'code = "mg"')
    table.done()
    return made
