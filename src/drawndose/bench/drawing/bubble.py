"""Air in a barrel, to scale: the area of the drawn bubble is its volume's share of the drawn barrel.

It is drawn only when someone recorded it, never as ornament. Air is not dose: the liquid above the stopper is less by it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.drawing.figure import PI, circle, group, line, lines_of_text, ml, rect, root
from drawndose.bench.drawing.graduations import Wall

FREE = 4  # room left around a round bubble


@dataclass(frozen=True, slots=True, kw_only=True)
class Bubble:
    """Air of one volume, mL, in a barrel drawn with so many pixels for 1 mL."""

    volume: Fraction
    per_ml: Fraction
    wall: Wall

    @property
    def radius(self) -> Fraction:
        """Of the circle whose area is that of a slice of the barrel with this volume."""
        return root(self.volume * self.per_ml * self.wall.width / PI)

    def round_fits(self, top: Fraction, bottom: Fraction) -> bool:
        """True when the circle finds room between the walls and between two heights."""
        room = 2 * (self.radius + FREE)
        return room <= self.wall.width and room <= bottom - top

    def drawn(self, top: Fraction, bottom: Fraction) -> str:
        """A circle under `top`, where air rises to; or, where it finds no room, a layer that fills the barrel from there."""
        middle, radius = self.wall.middle, self.radius
        if self.round_fits(top, bottom):
            return circle("bubble", middle, top + FREE + radius, radius)
        end = top + self.volume * self.per_ml
        layer = rect("air-layer", self.wall.left + 1, top, self.wall.width - 2, end - top)
        return layer + line("air-edge", self.wall.left, end, self.wall.right, end, self.volume)

    def told(self, x: Fraction, y: Fraction, to: tuple[Fraction, Fraction]) -> str:
        """The words beside it, with a thin leader to the air."""
        words = lines_of_text("note-words", x, y, f"air {ml(self.volume)}:", "push out,", "read again")
        return group("air", words, line("thin", x + 108, y + 12, *to))


def bubble_words(volume: Fraction, air: Fraction) -> str:
    """What a bubble means for the dose, in one sentence."""
    return f"Air {ml(air)}: push out, read again. The edge stands at {ml(volume)}, the liquid is {ml(volume - air)}."
