"""The parts of a syringe: tip, stopper, rod and the end of the barrel, between two walls. Tip up, as the hand holds it."""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing.figure import group, line, path, rect, torn
from drawndose.bench.drawing.graduations import Wall

STOPPER = 30
NOZZLE = 40  # how far the tip stands above the zero line


def stopper(y: Fraction, wall: Wall) -> str:
    """The stopper with its ribs and the thin dome that is not read; its upper edge stands at y."""
    left, right = wall
    dome = path("dome", "M", left + 3, y, "Q", wall.middle, y - 14, right - 3, y)
    ribs = [rect("rib", x, y + top, 4, 7) for x in (left, right - 4) for top in (6, 17)]
    return group("stopper", rect("stopper-body", left + 1, y, wall.width - 2, STOPPER), dome, *ribs)


def former_stopper(y: Fraction, wall: Wall) -> str:
    """Where the stopper stood a moment before: its outline only, broken."""
    return rect("former", wall.left + 1, y, wall.width - 2, STOPPER)


def tip(luer: bool, y: Fraction, wall: Wall) -> str:
    """The end of the barrel with its tip; a luer lock has a collar. Its dead space is outline only."""
    left, right = wall
    middle, inside = wall.middle, min(Fraction(14), wall.width / 2 - 1)
    nozzle = path(
        "outline", "M", middle - 6, y - 8, "L", middle - 4, y - NOZZLE, "H", middle + 4, "L", middle + 6, y - 8
    )
    shoulder = path("outline", "M", left, y, "Q", left, y - 8, middle - inside, y - 8, "H", middle + inside)
    shoulder += path("outline", "M", middle + inside, y - 8, "Q", right, y - 8, right, y)
    if not luer:
        return group("tip", nozzle, shoulder)
    collar = path("outline", "M", middle - 12, y - 8, "V", y - 26, "M", middle + 12, y - 8, "V", y - 26)
    return group("tip", nozzle, shoulder, collar)


def barrel_end(y: Fraction, wall: Wall) -> str:
    """The open end with its finger flange, just past the last mark."""
    flange = rect("flange", wall.left - 18, y + 12, wall.width + 36, 8, 3)
    walls = line("outline", wall.left, y, wall.left, y + 12) + line("outline", wall.right, y, wall.right, y + 12)
    return group("barrel-end", walls, flange)


def rod(top: Fraction, bottom: Fraction, wall: Wall, *, torn_off: bool = True) -> str:
    """The plunger rod, torn off below the barrel; in a window the barrel's own torn edge ends it."""
    if bottom <= top:
        return ""
    left, right = wall.left + wall.width * 3 / 10, wall.right - wall.width * 3 / 10
    walls = line("thin", left, top, left, bottom) + line("thin", right, top, right, bottom)
    return group("rod", walls, torn("thin", left, right, bottom, 3) if torn_off else "")


def walls(wall: Wall, top: Fraction, bottom: Fraction) -> str:
    """Both walls of the barrel."""
    return group("barrel", *(line("outline", x, top, x, bottom) for x in wall))
