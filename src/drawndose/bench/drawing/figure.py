"""What a drawing is: SVG parts, a name, words and a small table that say the same; and how SVG is written."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from html import escape

from drawndose.quantities import Quantity, show, show_about

Number = int | Fraction
PI = Fraction(355, 113)
LINE = 18
UNITS_PER_MM = 4  # in a drawing of life size; a line of 1.5 units is then 0.375 mm wide


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One drawing. name is short, words tell how to read it, rows repeat it as a table; small is a second, smaller view."""

    ident: str
    kind: str
    name: str
    words: tuple[str, ...]
    rows: tuple[tuple[str, str], ...]
    svg: str
    small: str = ""


@dataclass(frozen=True, slots=True)
class Scale:
    """From a volume to a height: zero stands at `zero`, and one mL is `per_ml` pixels (negative where it grows upwards)."""

    zero: Fraction
    per_ml: Fraction

    def y(self, volume: Fraction) -> Fraction:
        """The height of a volume, linear and exact."""
        return self.zero + volume * self.per_ml


def px(value: Number) -> str:
    """A coordinate with at most two decimals, rounded half up; the one place where a number becomes a position.

    >>> px(Fraction(1, 3)), px(Fraction(-5, 2)), px(7)
    ('0.33', '-2.5', '7')
    """
    # In whole numbers: a drawing writes hundreds of positions, and fractions would take five times as long.
    hundredths = (200 * abs(value.numerator) + value.denominator) // (2 * value.denominator)
    whole, part = divmod(hundredths, 100)
    sign = "-" if value < 0 and hundredths else ""
    return f"{sign}{whole}.{part:02d}".rstrip("0").rstrip(".") if part else f"{sign}{whole}"


def root(square: Fraction) -> Fraction:
    """A square root to four decimals, for the few lengths that are not linear in a volume: a radius, a bore.

    >>> root(Fraction(9, 4)), root(Fraction(2))
    (Fraction(3, 2), Fraction(7071, 5000))
    """
    found = (Decimal(square.numerator) / Decimal(square.denominator)).sqrt()
    return Fraction(found.quantize(Decimal("0.0001")))


def ml(volume: Fraction) -> str:
    """A volume that the drawing prints: exact, with its unit on the same line."""
    return show(Quantity.of_text(volume, "mL")).replace(" ", "\u00a0")


def ml_about(volume: Fraction) -> str:
    """A volume in the words beside a drawing, which may need the word "about"."""
    return show_about(Quantity.of_text(volume, "mL"))


def numeral(volume: Fraction) -> str:
    """A number of the scale as our drawing prints it."""
    return show(Quantity.of_text(volume, "mL")).removesuffix(" mL")


def line(css: str, x1: Number, y1: Number, x2: Number, y2: Number, volume: Fraction | None = None) -> str:
    """A straight line; with `volume` it carries the volume that it stands for, for whoever checks the drawing."""
    stands = f' data-ml="{volume}"' if volume is not None else ""
    return f'<line class="{css}" x1="{px(x1)}" y1="{px(y1)}" x2="{px(x2)}" y2="{px(y2)}"{stands}/>'


def rect(css: str, x: Number, y: Number, width: Number, height: Number, radius: Number = 0) -> str:
    """A box."""
    round_ = f' rx="{px(radius)}"' if radius else ""
    return f'<rect class="{css}" x="{px(x)}" y="{px(y)}" width="{px(width)}" height="{px(height)}"{round_}/>'


def path(css: str, *parts: str | Number) -> str:
    """A path out of letters and coordinates."""
    written = " ".join(part if isinstance(part, str) else px(part) for part in parts)
    return f'<path class="{css}" d="{written}"/>'


def circle(css: str, x: Number, y: Number, radius: Number) -> str:
    """A circle around its centre."""
    return f'<circle class="{css}" cx="{px(x)}" cy="{px(y)}" r="{px(radius)}"/>'


def text(css: str, x: Number, y: Number, says: str, anchor: str = "start") -> str:
    """A line of text."""
    return f'<text class="{css}" x="{px(x)}" y="{px(y)}" text-anchor="{anchor}">{escape(says)}</text>'


def lines_of_text(css: str, x: Number, y: Number, *says: str) -> str:
    """Lines under one another, for words that are longer than the room beside a barrel."""
    return "".join(text(css, x, y + LINE * place, one) for place, one in enumerate(says))


def group(css: str, *parts: str) -> str:
    """Parts that belong together, in the order in which they are painted."""
    return f'<g class="{css}">{"".join(parts)}</g>'


def svg(ident: str, width: Number, height: Number, *parts: str, css: str = "", life_size: bool = False) -> str:
    """The whole picture as one image for a screen reader, named and described by the text that stands under it.

    life_size: on paper it measures what it shows, with UNITS_PER_MM of its units for 1 mm.
    """
    each, unit = (UNITS_PER_MM, "mm") if life_size else (1, "")
    size = f'width="{px(Fraction(width, each))}{unit}" height="{px(Fraction(height, each))}{unit}"'
    size = f'viewBox="0 0 {px(width)} {px(height)}" {size}'
    told = f'role="img" aria-labelledby="{ident}-name" aria-describedby="{ident}-words"'
    return f'<svg class="{css}" {told} {size} focusable="false">{"".join(parts)}</svg>'


def silent_svg(width: Number, height: Number, *parts: str, css: str = "") -> str:
    """A second view of what is already told: not read out again."""
    size = f'viewBox="0 0 {px(width)} {px(height)}" width="{px(width)}" height="{px(height)}"'
    return f'<svg class="{css}" aria-hidden="true" {size} focusable="false">{"".join(parts)}</svg>'


def torn(css: str, left: Number, right: Number, y: Number, teeth: int = 6) -> str:
    """A torn edge from left to right: here the picture ends, not the instrument."""
    step = Fraction(right - left, teeth * 2)
    parts: list[str | Number] = ["M", left, y]
    for place in range(1, teeth * 2 + 1):
        parts += ["L", left + step * place, y + (6 if place % 2 else 0)]
    return path(css, *parts)


def callout(y: Number, width: Number, volume: Fraction, says: str) -> str:
    """The framed number on the side without numerals, its middle at this height: the reading line's, where it can be."""
    middle = Fraction(width, 2)
    return group(
        "callout",
        rect("callout-box", 1, y - 27, width - 1, 54, 4),
        text("callout-number", middle, y - 2, ml(volume), "middle"),
        text("callout-words", middle, y + 18, says, "middle"),
    )


def badge(x: Number, y: Number, number: int) -> str:
    """The number of a moment of a step, in a ring: 1 before, 2 after."""
    ring = circle("badge", x, y, 10)
    return group("nth-moment", ring, text("badge-number", x, y + Fraction(11, 2), str(number), "middle"))
