"""Sizes of labels and sheets of paper, in millimetres and points, and how a department types its own.

The shipped sizes are from memory, as stationers sell them: a department measures its own stock and sets it.
Sources of the least type: house rule (12 points for the dose, 8 points for everything else).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from drawndose.quantities import Fault, Refused, gather

LEAST_LARGE, LEAST_TEXT = 12.0, 8.0  # points; nothing on a label is ever smaller
SIDES = (15.0, 300.0)
_SIDES = re.compile(r"(?P<width>\d{1,3}(?:\.\d{1,2})?) ?x ?(?P<height>\d{1,3}(?:\.\d{1,2})?) ?mm", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size of label: its sides as it leaves the printer and the edge left free, mm; its two sizes of type, points.

    The text runs along the longer side. Refused for a side out of SIDES, a margin that leaves no room, or type below the least.
    """

    width: float
    height: float
    margin: float = 1.0
    large: float = LEAST_LARGE
    text: float = LEAST_TEXT

    def __post_init__(self) -> None:
        least, most = SIDES
        accepted = f"{least:g} to {most:g} mm"
        faults = [
            Fault(field=name, rule="a side of a label", came=f"{side:g} mm", accepted=accepted)
            for name, side in (("width", self.width), ("height", self.height))
            if not least <= side <= most
        ]
        if not 0 <= self.margin <= least / 3:
            came = f"{self.margin:g} mm"
            faults.append(
                Fault(field="margin", rule="a margin of a label", came=came, accepted=f"0 to {least / 3:g} mm")
            )
        for name, points, at_least in (("large", self.large, LEAST_LARGE), ("text", self.text, LEAST_TEXT)):
            if not at_least <= points <= 72:
                rule, came = "type that can be read at arm's length", f"{points:g} pt"
                faults.append(Fault(field=name, rule=rule, came=came, accepted=f"{at_least:g} to 72 pt"))
        gather(faults)

    @property
    def turned(self) -> bool:
        """True where the longer side is the height: the text then runs from the top to the bottom."""
        return self.height > self.width

    @property
    def says(self) -> str:
        """57 x 32 mm."""
        return f"{self.width:g} x {self.height:g} mm"


def read_size(text: str, field: str = "label size") -> Size:
    """A size that a department typed, in the least type. Refused for anything but two sides in mm.

    >>> read_size("57 x 32 mm").says, read_size("25x67 mm").turned
    ('57 x 32 mm', True)
    """
    found = _SIDES.fullmatch(text.strip())
    if found is None:
        raise Refused([Fault(field=field, rule="two sides, width first", came=text, accepted="57 x 32 mm")])
    return Size(width=float(found["width"]), height=float(found["height"]))


SIZES = (
    Size(width=57, height=32),
    Size(width=25, height=67, margin=0.8),
    Size(width=57, height=51, margin=1.5),
    Size(width=102, height=51, large=16, text=10, margin=2),
)
"""The shipped sizes, in the order in which they are tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet for an office printer, mm."""

    name: str
    width: float
    height: float


A4 = Paper(name="A4", width=210, height=297)  # ISO 216
LETTER = Paper(name="Letter", width=215.9, height=279.4)  # 8.5 x 11 inches
