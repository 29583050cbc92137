"""One fill of any measure: the kind of the instrument chooses the drawing."""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing.cylinder import cylinder
from drawndose.bench.drawing.dropper import dropper
from drawndose.bench.drawing.figure import Figure
from drawndose.bench.drawing.syringe import syringe
from drawndose.reference import Instrument, Kind


def filled(ident: str, instrument: Instrument, volume: Fraction, reading: str, *, part: str = "") -> Figure:
    """The drawing of one fill, for the step in which it is read. ValueError for a volume without a mark or a line."""
    draw = {Kind.DROPPER: dropper, Kind.SYRINGE: syringe, Kind.CYLINDER: cylinder}[instrument.kind]
    return draw(ident, instrument, volume, reading, part=part)
