"""The nebulizer cup as a guide for the fill. A cup is no measure: its scale is drawn broken and says so."""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing.figure import Figure, Scale, group, line, ml, ml_about, path, svg, text
from drawndose.reference import Cup

WIDTH, HEIGHT, FLOOR, DEEP = 270, 196, 166, 130
LEFT, RIGHT, DIP = 20, 110, 7


def cup(ident: str, holds: Cup, total: Fraction) -> Figure:
    """Where the fill will stand, with the least that this cup works from."""
    most, least = holds.holds.to("mL").value, holds.needs.to("mL").value
    return Figure(
        ident=ident,
        kind="cup",
        name=f"{holds.name}: the fill stands near {ml_about(total)}.",
        words=(
            f"Fill guide, not a measure. It holds {ml(most)} and works from about {ml(least)}.",
            "The level shows that everything went in; the dose was measured before.",
        ),
        rows=(
            ("Cup", holds.name),
            ("Fill", ml_about(total)),
            ("Holds", ml(most)),
            ("Works from about", ml(least)),
        ),
        svg=_picture(ident, most, least, total),
    )


def _picture(ident: str, most: Fraction, least: Fraction, total: Fraction) -> str:
    scale = Scale(Fraction(FLOOR), -DEEP / most)
    y, middle = scale.y(total), Fraction(LEFT + RIGHT, 2)
    liquid = path("liquid-body", "M", LEFT, y - DIP, "Q", middle, y + DIP, RIGHT, y - DIP, "V", FLOOR, "H", LEFT, "Z")
    curve = path("meniscus", "M", LEFT, y - DIP, "Q", middle, y + DIP, RIGHT, y - DIP)
    walls = path("outline", "M", LEFT, FLOOR - DEEP - 14, "V", FLOOR, "H", RIGHT, "V", FLOOR - DEEP - 14)
    foot = path("outline", "M", LEFT + 30, FLOOR, "L", LEFT + 24, FLOOR + 16, "H", RIGHT - 24, "L", RIGHT - 30, FLOOR)
    guides = [line("guide", RIGHT - 30, scale.y(one), RIGHT, scale.y(one), one) for one in (least, most)]
    # Two guides can stand close together only when a cup needs nearly all it holds; the words then carry both.
    words = [text("guide-words", RIGHT + 10, scale.y(most) + 5, f"holds {ml(most)}")]
    if abs(scale.y(total) - scale.y(least)) >= 18 and abs(scale.y(most) - scale.y(least)) >= 18:
        words.append(text("guide-words", RIGHT + 10, scale.y(least) + 5, f"works from {ml(least)}"))
    if abs(scale.y(total) - scale.y(most)) >= 18:
        words.append(text("guide-fill", RIGHT + 10, y + 5, f"fill {ml_about(total)}"))
    return svg(
        ident,
        WIDTH,
        HEIGHT,
        group("liquid", liquid),
        group("barrel", walls, foot),
        group("marks", *guides),
        curve,
        line("fill-line", LEFT, y, RIGHT, y, total),
        *words,
        css="container-drawing",
    )
