"""A DataMatrix as a picture: one black path on the grid of its modules, with the free edge that readers want.

Source: ISO/IEC 16022 by zxing-cpp (a free edge of one module). A module is 0.5 mm: four dots of a printer with 8 dots to the mm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import zxingcpp

MODULE_MM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Matrix:
    """A symbol: its picture as SVG, and its side with the free edge, mm."""

    svg: str
    side: float


def matrix(text: str) -> Matrix:
    """The symbol of a text: always a square one, which the corner of a label has room for."""
    symbol = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.DataMatrix, force_square=True)
    black = np.asarray(symbol.to_image(scale=1, add_quiet_zones=True)) == 0
    side = len(black)
    # One path, so that no renderer leaves a hair between two modules that touch.
    path = "".join(f"M{x} {y}h1v1h-1z" for y, x in zip(*np.nonzero(black), strict=True))
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}"><path d="{path}"/></svg>'
    return Matrix(svg=svg, side=side * MODULE_MM)
