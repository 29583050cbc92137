"""A stoppered vial upside down on the syringe's needle, for the step "turn over, tip under the liquid, draw".

The inside is drawn straight, so that a share of the contents is the same share of the height, and the tip is drawn under
the liquid that is left at the end of the draw: in a vial that is nearly empty it is drawn back.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing import barrel
from drawndose.bench.drawing.containers import NOT_A_MEASURE, holds_row
from drawndose.bench.drawing.figure import (
    Figure,
    Number,
    group,
    line,
    lines_of_text,
    ml_about,
    path,
    rect,
    svg,
    text,
    torn,
)
from drawndose.bench.drawing.graduations import BARREL, Wall
from drawndose.reference import Container

VIALS = frozenset({Container.STOPPERED_VIAL, Container.POWDER_VIAL})
WIDTH, HEIGHT = 320, 292
GLASS = Wall(Fraction(134), Fraction(218))
BASE, STOPPER, INSIDE = (
    12,
    128,
    100,
)  # the vial's bottom above, the inner face of its stopper below, a full vial's height
REACH, ROOM = 14, 5  # how far the tip stands above the stopper, and how much liquid must then be left over it
ZERO = 244


def inverted_vial(ident: str, kind: Container, name: str, holds: tuple[Fraction, Fraction], taken: Fraction) -> Figure:
    """One vial while it is drawn from. holds: what it holds now and what a full one holds, mL. taken: what leaves it, mL.

    ValueError for a container that has no stopper, and for more than it holds.
    """
    if kind not in VIALS:
        raise ValueError(f"a {kind.value} has no stopper to turn over")
    if not 0 < taken <= holds[0] <= holds[1]:
        raise ValueError(f"{ml_about(taken)} cannot leave a vial with {ml_about(holds[0])} of {ml_about(holds[1])}")
    stays = holds[0] - taken
    height = tip_height(stays / holds[1])
    words = [
        "Vial upside down: air above, the tip under the liquid until the end of the draw. The bracket is what leaves it."
    ]
    if height < REACH:
        back = "to the stopper" if not stays else "as the level falls"
        words.append(f"Nearly empty at the end: draw the tip back {back}, or it takes air.")
    return Figure(
        ident=ident,
        kind="inverted-vial",
        name=f"{name}, upside down: {ml_about(taken)} out of {ml_about(holds[0])}.",
        words=(*words, NOT_A_MEASURE[kind]),
        rows=(
            ("Container", name),
            holds_row(holds),
            ("Taken", ml_about(taken)),
            ("Stays in it", ml_about(stays) if stays else "nothing, by its label"),
        ),
        svg=_picture(ident, holds, stays, height),
    )


def tip_height(share: Fraction) -> Fraction:
    """How far the tip stands above the stopper's inner face, pixels: always under what is left, this share of a full vial."""
    left = share * INSIDE
    return Fraction(REACH) if left >= REACH + ROOM else left / 2


def _picture(ident: str, holds: tuple[Fraction, Fraction], stays: Fraction, height: Fraction) -> str:
    per_ml = Fraction(INSIDE) / holds[1]
    level, after, tip = STOPPER - holds[0] * per_ml, STOPPER - stays * per_ml, STOPPER - height
    liquid = rect("liquid-body", GLASS.left, level, GLASS.width, STOPPER - level)
    levels = line("level", *_across(level), holds[0]) + line("level after", *_across(after), stays)
    right = GLASS.right + 6
    bracket = path("band-edge", "M", right, level, "H", right + 10, "V", after, "H", right)
    out = lines_of_text("note-words", right + 18, (level + after) / 2 - 3, "out:", ml_about(holds[0] - stays))
    told = ("tip under", "the liquid") if height == REACH else ("tip drawn", "back")
    note = lines_of_text("note-words", 2, tip - 4, *told) + line("thin", 94, tip, BARREL.middle - 4, tip)
    air = text("note-words", BARREL.middle, level - 8, "air", "middle") if STOPPER - level <= INSIDE - 8 else ""
    return svg(
        ident,
        WIDTH,
        HEIGHT,
        group("liquid", liquid),
        levels,
        _vial(),
        air,
        _needle(tip),
        group("band", bracket),
        out,
        note,
        css="scale-drawing",
    )


def _across(y: Fraction) -> tuple[Number, Number, Number, Number]:
    return GLASS.left, y, GLASS.right, y


def _vial() -> str:
    """Bottom, walls, shoulder and neck, and the stopper with its cap: the neck below, for the vial is upside down."""
    left, right, middle = *GLASS, GLASS.middle
    body = path("outline", "M", left, STOPPER, "V", BASE + 6, "Q", left, BASE, left + 6, BASE, "H", right - 6)
    body += path("outline", "M", right - 6, BASE, "Q", right, BASE, right, BASE + 6, "V", STOPPER)
    neck = path("outline", "M", left, STOPPER, "L", middle - 18, STOPPER + 12, "V", STOPPER + 20)
    neck += path("outline", "M", right, STOPPER, "L", middle + 18, STOPPER + 12, "V", STOPPER + 20)
    inner = line("outline", left, STOPPER, right, STOPPER)
    return group("vial", body, inner, neck, rect("flange", middle - 24, STOPPER + 20, 48, 16, 2))


def _needle(tip: Fraction) -> str:
    """Needle, hub, and the end of the barrel, torn off; the needle's point is cut slantwise."""
    middle, hub = BARREL.middle, ZERO - 52
    tube = path("needle", "M", middle - 2, hub, "V", tip + 6, "L", middle + 2, tip, "V", hub)
    body = path("hub", "M", middle - 5, hub, "H", middle + 5, "L", middle + 9, hub + 30, "H", middle - 9, "Z")
    foot = Fraction(ZERO + 34)
    end = barrel.walls(BARREL, Fraction(ZERO), foot) + torn("outline", *BARREL, foot)
    return group("mounted", tube, barrel.tip(False, Fraction(ZERO), BARREL), body, end)
