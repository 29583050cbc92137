"""Containers from the side: the level by the label's contents, and what is to be taken as a bracket.

A container is no measure: it has no scale, and the drawing says what leaves it, not where to read. The inside is drawn
straight, so that a share of the contents is the same share of the height.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from drawndose.bench.drawing.figure import (
    Figure,
    Number,
    circle,
    group,
    line,
    ml_about,
    path,
    rect,
    svg,
    text,
)
from drawndose.reference import Container

CELL, INSIDE, FLOOR, IN_A_ROW = 66, 78, 148, 5
ROW = 192


def container(
    ident: str, kind: Container, name: str, holds: tuple[Fraction, Fraction], taken: tuple[Fraction, ...]
) -> Figure:
    """One drawing of all the containers of one kind that are opened.

    holds: what one holds now and what a full one holds, mL. taken: what leaves each of them, mL.
    """
    count = len(taken)
    cells = [_cell(kind, place, holds, amount) for place, amount in enumerate(taken)]
    width = max(CELL * min(count, IN_A_ROW) + 20, 170)
    height = ROW * -(-count // IN_A_ROW) - 6
    return Figure(
        ident=ident,
        kind="container",
        name=f"{name}: {_taken_words(holds[0], taken)}.",
        words=(f"The bracket is what leaves {'it' if count == 1 else 'each'}. {NOT_A_MEASURE[kind]}",),
        rows=(
            ("Container", name),
            ("Opened", str(count)),
            holds_row(holds),
            ("Taken", ml_about(sum(taken, Fraction(0)))),
        ),
        svg=svg(ident, width, height, *cells, css="container-drawing"),
    )


def holds_row(holds: tuple[Fraction, Fraction]) -> tuple[str, str]:
    """What one container holds: by its label while it is full, and what is left of that in an opened one."""
    return ("Holds, by its label" if holds[0] == holds[1] else "Still holds"), ml_about(holds[0])


def standing(ident: str, kind: Container, name: str, left: Fraction | None, full: Fraction) -> Figure:
    """One container as it stands on a shelf, with its level by the record. left, full: mL; None: a powder, which has no level."""
    outline, inner_left, inner_right = OUTLINES[kind](2, FLOOR)
    parts, held = [], "powder, not made up"
    if left is not None:
        level = FLOOR - left * Fraction(INSIDE) / full
        held = f"{ml_about(left)} of {ml_about(full)} left" if left != full else f"full, {ml_about(full)}"
        parts = [
            rect("liquid-body", inner_left, level, inner_right - inner_left, FLOOR - level),
            line("level", inner_left, level, inner_right, level, left),
        ]
    return Figure(
        ident=ident,
        kind="container",
        name=f"{name}: {held}.",
        words=(NOT_A_MEASURE[kind],),
        rows=(("Container", name), ("Holds", held)),
        svg=svg(ident, 54, FLOOR + 8, group("container", *parts, outline), css="container-drawing standing-drawing"),
    )


NOT_A_MEASURE = {
    Container.DROPPER_BOTTLE: "The bottle itself measures nothing.",
    Container.STOPPERED_VIAL: "A vial holds more than its label says: what comes out is measured.",
    Container.GLASS_AMPOULE: "An ampoule holds more than its label says: what comes out is measured. The dot marks the score on the neck, where it breaks.",
    Container.PLASTIC_UNIT_DOSE: "A unit dose measures only by being emptied.",
    Container.POWDER_VIAL: "The level is the volume after making up.",
    Container.BULK: "The bottle itself measures nothing.",
}


def _taken_words(contents: Fraction, taken: tuple[Fraction, ...]) -> str:
    total = ml_about(sum(taken, Fraction(0)))
    if all(amount == contents for amount in taken):
        return f"all of it, {total}" if len(taken) == 1 else f"all of {len(taken)}, {total} together"
    return f"{total} out of {ml_about(contents)}" if len(taken) == 1 else f"{total} out of {len(taken)} of them"


def _cell(kind: Container, place: int, holds: tuple[Fraction, Fraction], taken: Fraction) -> str:
    left, top = CELL * (place % IN_A_ROW) + 2, ROW * (place // IN_A_ROW)
    floor = top + FLOOR
    per_ml = Fraction(INSIDE) / holds[1]
    level, after = floor - holds[0] * per_ml, floor - (holds[0] - taken) * per_ml
    outline, inner_left, inner_right = OUTLINES[kind](left, floor)
    right = inner_right + 5
    bracket = path("band-edge", "M", right, level, "H", right + 8, "V", after, "H", right)
    told = ml_about(taken).replace(" ", "\u00a0")
    # Short decimals fit under a narrow outline; anything longer is said in the table instead of being squeezed.
    label = text("container-number", left + 25, floor + 26, told if len(told) < 9 else "see table", "middle")
    return group(
        "container",
        rect("liquid-body", inner_left, level, inner_right - inner_left, floor - level),
        outline,
        line("level", inner_left, level, inner_right, level, holds[0]),
        line("level after", inner_left, after, inner_right, after, holds[0] - taken),
        group("band", bracket),
        label,
    )


Outline = tuple[str, Number, Number]


def _bottle(left: Number, floor: Number) -> Outline:
    body = path(
        "outline",
        "M",
        left + 4,
        floor,
        "V",
        floor - 84,
        "Q",
        left + 4,
        floor - 94,
        left + 14,
        floor - 94,
        "H",
        left + 36,
    ) + path("outline", "M", left + 36, floor - 94, "Q", left + 46, floor - 94, left + 46, floor - 84, "V", floor)
    base = line("outline", left + 4, floor, left + 46, floor)
    cap = rect("flange", left + 13, floor - 110, 24, 16, 2)
    return body + base + cap, left + 4, left + 46


def _dropper_bottle(left: Number, floor: Number) -> Outline:
    drawn, inner_left, inner_right = _bottle(left, floor)
    bulb = path(
        "bulb", "M", left + 19, floor - 110, "V", floor - 126, "Q", left + 25, floor - 142, left + 31, floor - 126
    )
    return drawn + bulb + line("outline", left + 31, floor - 126, left + 31, floor - 110), inner_left, inner_right


def _vial(left: Number, floor: Number) -> Outline:
    body = path("outline", "M", left + 4, floor, "V", floor - 84, "L", left + 15, floor - 94, "V", floor - 100)
    body += path("outline", "M", left + 35, floor - 100, "V", floor - 94, "L", left + 46, floor - 84, "V", floor)
    stopper = rect("flange", left + 11, floor - 114, 28, 14, 2)
    return body + line("outline", left + 4, floor, left + 46, floor) + stopper, left + 4, left + 46


def _ampoule(left: Number, floor: Number) -> Outline:
    body = path("outline", "M", left + 10, floor, "V", floor - 82, "Q", left + 10, floor - 90, left + 20, floor - 96)
    body += path("outline", "M", left + 20, floor - 96, "Q", left + 14, floor - 104, left + 17, floor - 114)
    body += path(
        "outline", "M", left + 17, floor - 114, "L", left + 21, floor - 138, "H", left + 29, "L", left + 33, floor - 114
    )
    body += path("outline", "M", left + 33, floor - 114, "Q", left + 36, floor - 104, left + 30, floor - 96)
    body += path("outline", "M", left + 30, floor - 96, "Q", left + 40, floor - 90, left + 40, floor - 82, "V", floor)
    score = line("score", left + 20, floor - 96, left + 30, floor - 96) + circle("dot", left + 25, floor - 100, 2)
    return body + line("outline", left + 10, floor, left + 40, floor) + score, left + 10, left + 40


def _unit_dose(left: Number, floor: Number) -> Outline:
    body = path("outline", "M", left + 8, floor, "V", floor - 80, "L", left + 19, floor - 94, "V", floor - 104)
    body += path("outline", "M", left + 31, floor - 104, "V", floor - 94, "L", left + 42, floor - 80, "V", floor)
    tab = rect("flange", left + 11, floor - 128, 28, 24, 3)
    base = path(
        "outline", "M", left + 4, floor + 6, "L", left + 8, floor, "H", left + 42, "L", left + 46, floor + 6, "Z"
    )
    return body + tab + base, left + 8, left + 42


OUTLINES: dict[Container, Callable[[Number, Number], Outline]] = {
    Container.DROPPER_BOTTLE: _dropper_bottle,
    Container.STOPPERED_VIAL: _vial,
    Container.GLASS_AMPOULE: _ampoule,
    Container.PLASTIC_UNIT_DOSE: _unit_dose,
    Container.POWDER_VIAL: _vial,
    Container.BULK: _bottle,
}
