"""Readings that come one by one, as a balance types them: each joins its draw, and a whole draw joins the list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from drawndose.quantities import Refused
from drawndose.science.import_readings import PASSED_OVER, columns_of, read_readings


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """The text of the list, and the readings of the draw that is not whole yet."""

    text: str = ""
    begun: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Awaited:
    """Which reading is awaited: of which draw, counted from 1, and which of its columns."""

    draw: int
    column: str


def add_reading(listed: Listed, reading: str, *, columns: Sequence[str], unit: str) -> Listed:
    """The list with one reading more. Refused, and nothing is added, when it is no mass.

    >>> one = add_reading(Listed(), "12.3456", columns=("without", "with"), unit="g")
    >>> one, add_reading(one, "12.8402 g", columns=("without", "with"), unit="g")
    (Listed(text='', begun=('12.3456',)), Listed(text='12.3456; 12.8402 g', begun=()))
    """
    said = reading.strip()
    try:
        read_readings(said, columns=("net",), unit=unit)
    except Refused as refused:
        raise Refused(replace(fault, field="reading") for fault in refused.faults) from refused
    names, mark = columns_of(listed.text, columns)
    wanted = sum(name not in PASSED_OVER for name in names)
    begun = (*listed.begun, said)
    if len(begun) < wanted:
        return replace(listed, begun=begun)
    given = iter(begun)
    glue = f"{mark or ';'} "
    row = glue.join("" if name in PASSED_OVER else next(given) for name in names)
    text = listed.text.rstrip("\n")
    return Listed(text=f"{text}\n{row}" if text.strip() else row)


def take_back(listed: Listed, *, columns: Sequence[str]) -> Listed:
    """The list without its last reading; the readings before it in its draw wait for it again.

    >>> take_back(Listed(text="12.1; 12.6"), columns=("without", "with"))
    Listed(text='', begun=('12.1',))
    """
    if listed.begun:
        return replace(listed, begun=listed.begun[:-1])
    names, mark = columns_of(listed.text, columns)
    lines = listed.text.rstrip().splitlines()
    if not lines or (len(lines) == 1 and lines[0] and not any(sign.isdigit() for sign in lines[0])):
        return listed
    cells = [cell.strip() for cell in (lines[-1].split(mark) if mark else [lines[-1]])]
    kept = [cell for name, cell in zip(names, cells, strict=False) if name not in PASSED_OVER][:-1]
    return Listed(text="\n".join(lines[:-1]), begun=tuple(kept))


def awaited(listed: Listed, *, columns: Sequence[str]) -> Awaited:
    """Which reading comes next.

    >>> awaited(Listed(text="12.1; 12.6", begun=("12.1",)), columns=("without", "with"))
    Awaited(draw=2, column='with')
    """
    names, _ = columns_of(listed.text, columns)
    taken = [name for name in names if name not in PASSED_OVER]
    lines = [line for line in listed.text.splitlines() if line.strip()]
    heading = bool(lines) and not any(sign.isdigit() for sign in lines[0])
    return Awaited(draw=len(lines) - heading + 1, column=taken[min(len(listed.begun), len(taken) - 1)])
