"""What a change of needle does to a volume that was set on a syringe: every case, with what reaches the cup."""

from collections.abc import Iterator
from fractions import Fraction

from drawndose.bench.dead_space import Change, Delivered, delivered
from drawndose.bench.draws import ml
from drawndose.quantities import Refused
from drawndose.reference import Instrument, Needle


def changes(one: Instrument, volume: Fraction, needle: Needle) -> Iterator[tuple[Change, Delivered | str]]:
    """Every case: what it delivers, or why it cannot be."""
    keeps, nozzle = needle.keeps or Fraction(0), one.nozzle or Fraction(0)
    for change in Change:
        try:
            yield change, delivered(volume, change, keeps=keeps, nozzle=nozzle)
        except Refused as refused:
            yield change, refused.faults[0].rule


def changes_lines(one: Instrument, volumes: list[Fraction], needle: Needle | None) -> Iterator[str]:
    """The cases for each volume, a line each."""
    if needle is None or needle.keeps is None:
        return
    for volume in volumes:
        yield ""
        nozzle = f"; the syringe's nozzle up to {ml(one.nozzle)}" if one.nozzle is not None else ""
        yield f"{ml(volume)} with the {needle.name}, which keeps {ml(needle.keeps)}{nozzle}"
        for change, found in changes(one, volume, needle):
            if isinstance(found, str):
                yield f"  {change.value}: {found}."
            else:
                beside = f" The container gives {ml(found.wasted)} beside it." if found.wasted else ""
                yield f"  {found.says}{beside}"


def changes_data(one: Instrument, volumes: list[Fraction], needle: Needle | None) -> list[dict[str, object]]:
    """The same as plain data, exact, in mL."""
    if needle is None:
        return []
    return [
        {"set": str(volume), "case": change.value, "refused": found}
        if isinstance(found, str)
        else {"set": str(volume), "case": change.value, "delivered": str(found.volume), "wasted": str(found.wasted)}
        for volume in volumes
        for change, found in changes(one, volume, needle)
    ]
