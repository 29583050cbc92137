"""Drawings of instruments and containers: pure functions from exact volumes to SVG text, one module for each kind.

A position is linear in volume and stays a Fraction until it is written with two decimals. Nothing is drawn for a plan
that is not ready, and no mark that the catalogue's scale does not have.
"""

from drawndose.bench.drawing.alone import alone
from drawndose.bench.drawing.containers import container
from drawndose.bench.drawing.cup import cup
from drawndose.bench.drawing.dropper import dropper
from drawndose.bench.drawing.figure import Figure
from drawndose.bench.drawing.syringe import syringe

__all__ = ["Figure", "alone", "container", "cup", "dropper", "syringe"]
