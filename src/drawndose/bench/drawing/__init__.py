"""Drawings of instruments and containers: pure functions from exact volumes to SVG text, one module for each kind.

A position is linear in volume and stays a Fraction until it is written with two decimals. Nothing is drawn for a plan
that is not ready, and no mark that the catalogue's scale does not have.

| the step | the picture |
|---|---|
| set the edge, or the curve, on the mark and read | `filled` (`syringe`, `dropper`, `cylinder`); with air in it, `syringe(..., bubble=...)` |
| put a needle on | `needle_on`; the needle alone, `needle_alone` |
| turn the vial over, tip under the liquid, draw | `inverted_vial` |
| tilt the opened ampoule, draw through a filter | `opened_ampoule` |
| draw a little past the mark, then trim | `trim` |
| look at what leaves the container | `container` |
| look at what stands on the shelf | `standing` |
| look at the fill in the cup | `cup` |
| compare with a real syringe, on paper | `life_size` |
"""

from drawndose.bench.drawing.alone import LIGHTS, alone
from drawndose.bench.drawing.ampoule import opened_ampoule
from drawndose.bench.drawing.containers import container, standing
from drawndose.bench.drawing.cup import cup
from drawndose.bench.drawing.cylinder import cylinder
from drawndose.bench.drawing.dropper import dropper
from drawndose.bench.drawing.figure import Figure
from drawndose.bench.drawing.filled import filled
from drawndose.bench.drawing.inverted import VIALS, inverted_vial
from drawndose.bench.drawing.needle import needle_alone, needle_on
from drawndose.bench.drawing.proportion import life_size
from drawndose.bench.drawing.syringe import syringe
from drawndose.bench.drawing.trim import can_trim, trim

__all__ = [
    "LIGHTS",
    "VIALS",
    "Figure",
    "alone",
    "can_trim",
    "container",
    "cup",
    "cylinder",
    "dropper",
    "filled",
    "inverted_vial",
    "life_size",
    "needle_alone",
    "needle_on",
    "opened_ampoule",
    "standing",
    "syringe",
    "trim",
]
