"""An opened ampoule, tilted, with a filter needle in its lowest corner: the step "draw slowly, the tip under the liquid".

Everything is laid out along the ampoule's own axis and turned onto the page by a 5-12-13 triangle, so the turned places stay
exact. The liquid's surface is level on the page, and its area is the share of a full one.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing.containers import holds_row
from drawndose.bench.drawing.figure import Figure, group, line, lines_of_text, ml_about, path, root, svg
from drawndose.bench.drawing.needle import filter_words
from drawndose.reference import Needle

WIDTH, HEIGHT = 330, 268
SINE, COSINE = Fraction(5, 13), Fraction(12, 13)
SLOPE = SINE / COSINE
FOOT = (Fraction(120), Fraction(240))  # the middle of the ampoule's bottom on the page
HALF, FULL, BODY = Fraction(24), Fraction(78), Fraction(92)  # half its width, a full one's liquid, its body's height
POINT, MOUTH = (Fraction(19), Fraction(5)), (Fraction(0), Fraction(118))  # where the needle ends and where it enters

Place = tuple[Fraction, Fraction]


def opened_ampoule(ident: str, name: str, holds: tuple[Fraction, Fraction], taken: Fraction, needle: Needle) -> Figure:
    """One ampoule while it is drawn from. holds: what it holds now and what a full one holds, mL. taken: what leaves it, mL.

    ValueError for a needle that holds back no glass, and for more than the ampoule holds.
    """
    if not needle.filters:
        raise ValueError(f"a {needle.name} holds back no glass")
    if not 0 < taken <= holds[0] <= holds[1]:
        raise ValueError(f"{ml_about(taken)} cannot leave an ampoule with {ml_about(holds[0])} of {ml_about(holds[1])}")
    stays = holds[0] - taken
    return Figure(
        ident=ident,
        kind="ampoule",
        name=f"{name}, opened and tilted: {ml_about(taken)} out of {ml_about(holds[0])}.",
        words=(
            f"Tilt it, the tip of the {needle.name} in the lowest corner, under the liquid. No air goes in; do not touch the rim.",
            filter_words(needle),
            "The broken line is the level at the end. An ampoule holds more than its label says: what comes out is measured.",
        ),
        rows=(
            ("Container", name),
            ("Drawn through", needle.name),
            holds_row(holds),
            ("Taken", ml_about(taken)),
            ("Stays in it", ml_about(stays) if stays else "nothing, by its label"),
        ),
        svg=_picture(ident, holds[0] / holds[1], stays / holds[1], needle),
    )


def turned(place: Place) -> Place:
    """From the ampoule's own axes (to the right of its middle, up from its bottom) onto the page."""
    across, up = place
    return FOOT[0] + across * COSINE + up * SINE, FOOT[1] + across * SINE - up * COSINE


def liquid(share: Fraction) -> tuple[Place, ...]:
    """The corners of the liquid, on the ampoule's own axes: its surface is level when turned, its area the share of a full one."""
    lower = share * FULL - HALF * SLOPE
    if lower >= 0:
        return (-HALF, Fraction(0)), (HALF, Fraction(0)), (HALF, lower + 2 * HALF * SLOPE), (-HALF, lower)
    base = root(2 * share * FULL * 2 * HALF / SLOPE)
    return (HALF - base, Fraction(0)), (HALF, Fraction(0)), (HALF, base * SLOPE)


def _drawn(css: str, *places: Place, closed: bool = False) -> str:
    parts: list[str | Fraction] = []
    for at, place in enumerate(places):
        parts += ["L" if at else "M", *turned(place)]
    return path(css, *parts, *(["Z"] if closed else []))


def _surface(css: str, corners: tuple[Place, ...]) -> str:
    """The upper edge of the liquid: between the two walls, or from a wall to the bottom."""
    return _drawn(css, corners[2], corners[3 % len(corners)])


def _picture(ident: str, before: Fraction, after: Fraction, needle: Needle) -> str:
    surface, end = liquid(before), liquid(after)
    right: tuple[Place, ...] = (
        (HALF, Fraction(0)),
        (HALF, BODY),
        (Fraction(8), Fraction(108)),
        (Fraction(10), Fraction(122)),
    )
    left = tuple((-across, up) for across, up in reversed(right))
    corner = turned(POINT)
    note = lines_of_text("note-words", 196, 214, "tip in the", "lowest corner")
    return svg(
        ident,
        WIDTH,
        HEIGHT,
        group("liquid", _drawn("liquid-body", *surface, closed=True)),
        _surface("level", surface),
        _surface("level after", end) if after else "",
        _drawn("outline", *left, *right),
        _needle(needle),
        note,
        line("thin", 192, 212, *corner),
        css="scale-drawing",
    )


def _needle(needle: Needle) -> str:
    """The needle from the lowest corner through the mouth, its hub with the filter, and the tip of the syringe, torn off."""
    across, up = MOUTH[0] - POINT[0], MOUTH[1] - POINT[1]
    long = root(across**2 + up**2)
    along, beside = (across / long, up / long), (up / long, -across / long)

    def at(far: int, off: int) -> Place:
        return POINT[0] + along[0] * far + beside[0] * off, POINT[1] + along[1] * far + beside[1] * off

    tube = _drawn("needle", at(168, -2), at(5, -2), at(0, 2), at(168, 2))
    hub = _drawn("hub", at(166, -6), at(166, 6), at(200, 10), at(200, -10), closed=True)
    band = _drawn("filter", at(178, -8), at(178, 8), at(186, 8), at(186, -8), closed=True)
    x, y = turned(at(182, 8))
    word = lines_of_text("note-words", x + 24, y + 2, *needle.name.split(" ", 1)) + line("thin", x, y, x + 20, y - 2)
    tip = _drawn("outline", at(200, -6), at(222, -6)) + _drawn("outline", at(200, 6), at(222, 6))
    return group("mounted", tube, hub, band, tip, word)
