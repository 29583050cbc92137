"""Drawings of instruments and containers: pure functions from exact volumes to SVG text, one module for each kind.

A position is linear in volume and stays a Fraction until it is written with two decimals. Nothing is drawn for a plan
that is not ready, and no mark that the catalogue's scale does not have.
"""

from drawndose.department.web.drawing.containers import container
from drawndose.department.web.drawing.cup import cup
from drawndose.department.web.drawing.dropper import dropper
from drawndose.department.web.drawing.figure import Figure
from drawndose.department.web.drawing.syringe import syringe

__all__ = ["Figure", "container", "cup", "dropper", "syringe"]
