"""Boxes that hold exact numbers with their units, for the sums of doses and of gas: every fault at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from drawndose.quantities import Fault, Gathering, Manner, Quantity, Refused, read_quantity, unit
from drawndose.science.aerosol.boxes import MOST_CHARACTERS, read_band


class ExactBoxes(Gathering):
    """The boxes that were filled. known: the names that there are; any other is a fault."""

    def __init__(self, boxes: Mapping[str, str], known: Iterable[str]) -> None:
        super().__init__()
        names = tuple(known)
        self.boxes = {name: text.strip() for name, text in boxes.items() if text.strip()}
        for name, text in self.boxes.items():
            if name not in names or len(text) > MOST_CHARACTERS:
                rule = f"a box is known by its name and holds at most {MOST_CHARACTERS} characters"
                self.fault(name, rule, text, ", ".join(names))

    def fault(self, field: str, rule: str, came: str, accepted: str) -> None:
        """Keep one fault."""
        came = came[:MOST_CHARACTERS] or "nothing"
        self.faults.append(Fault(field=field, rule=rule, came=came, accepted=accepted))

    def has(self, name: str) -> bool:
        """True where the box is filled."""
        return name in self.boxes

    def text(self, name: str) -> str:
        """What stands in a box; empty where nothing does."""
        return self.boxes.get(name, "")[:MOST_CHARACTERS]

    def value(self, name: str, of: str, example: str = "") -> Fraction | None:
        """A value in a unit, or None where the box is empty or wrong. With an example the box must be filled."""
        if not self.has(name):
            if example:
                self.fault(name, "it is needed", "", example)
            return None
        quantity = self.take(lambda: read_quantity(self.text(name), field=name, manner=Manner.READING))
        return self._in(quantity, name, of, example)

    def ends(self, name: str, of: str) -> tuple[Fraction, Fraction] | None:
        """A range "38 to 55 mL/h" in a unit, or one value twice."""
        if not self.has(name):
            return None
        band = self.take(lambda: read_band(self.text(name), of, name))
        return (Fraction(repr(band.low)), Fraction(repr(band.high))) if band is not None else None

    def _in(self, quantity: Quantity | None, name: str, of: str, example: str) -> Fraction | None:
        if quantity is None:
            return None
        if quantity.dimension != unit(of).dimension:
            self.fault(name, f"a value in {of} is wanted", self.text(name), example or f"3 {of}")
            return None
        return quantity.to(of).value

    def done(self) -> None:
        """Raise what was found."""
        if self.faults:
            raise Refused(self.faults)
