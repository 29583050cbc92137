"""One way to take values out of a TOML table: every fault is kept with its file and key, and no key is ignored."""

import datetime
from collections.abc import Callable, Iterable
from enum import Enum
from fractions import Fraction
from typing import TypeVar

from drawndose.quantities import Fault, Quantity, Refused, Strength, read_number, read_quantity, read_strength

_VOLUME = (("volume", 1),)

Choice = TypeVar("Choice", bound=Enum)
Made = TypeVar("Made")


class Table:
    """A TOML table with a place name. Taking a value checks its type; `done` reports what is missing or unknown."""

    def __init__(self, values: object, where: str, faults: list[Fault]) -> None:
        self.where = where
        self.faults = faults
        self.values: dict[str, object] = values if isinstance(values, dict) else {}
        self.taken: set[str] = set()
        if not isinstance(values, dict):
            self.fault("", "a table is wanted here", repr(values), "key = value")

    def fault(self, key: str, rule: str, came: str, accepted: str) -> None:
        """Keep one fault of this table."""
        self.faults.append(Fault(field=f"{self.where}.{key}".rstrip("."), rule=rule, came=came, accepted=accepted))

    def has(self, key: str) -> bool:
        """True when the key stands in the table."""
        return key in self.values

    def raw(self, key: str) -> object:
        """The value as TOML gave it, or None; the key counts as taken."""
        self.taken.add(key)
        return self.values.get(key)

    def text(self, key: str, default: str | None = None) -> str:
        """A text that must be there unless a default is given."""
        value = self.raw(key)
        if isinstance(value, str) and value.strip():
            return value
        if value is None and default is not None:
            return default
        self.fault(key, "a text is needed", repr(value), '"..."')
        return default or ""

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts, empty when the key is not there."""
        value = self.raw(key)
        if value is None:
            return ()
        if isinstance(value, list) and all(isinstance(one, str) and one.strip() for one in value):
            return tuple(value)
        self.fault(key, "a list of texts is wanted", repr(value), '["...", "..."]')
        return ()

    def truth(self, key: str, default: bool) -> bool:
        """true or false."""
        value = self.raw(key)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.fault(key, "true or false is wanted", repr(value), "true, false")
        return bool(value)

    def day(self, key: str) -> datetime.date:
        """A date without time."""
        value = self.raw(key)
        if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
            return value
        self.fault(key, "a date is needed", repr(value), "2026-11-25")
        return datetime.date.min

    def choice(self, key: str, kind: type[Choice], default: Choice | None = None) -> Choice:
        """One word of a closed list."""
        value = self.raw(key)
        for member in kind:
            if member.value == value:
                return member
        if value is None and default is not None:
            return default
        self.fault(key, "one word of a closed list is needed", repr(value), ", ".join(str(m.value) for m in kind))
        return default or next(iter(kind))

    def quantity(self, key: str, dimension: str, of: str | None = None) -> Quantity | None:
        """A quantity of one dimension written as text ("2.5 mg"), or None when the key is not there."""
        return self._read(key, lambda text: self._of_dimension(key, text, dimension, of))

    def _of_dimension(self, key: str, text: str, dimension: str, of: str | None) -> Quantity:
        quantity = read_quantity(text, field=f"{self.where}.{key}", of=of)
        if dimension and quantity.dimension != ((dimension, 1),):
            self.fault(key, f"a {dimension} is wanted", text, f"a {dimension} with its unit")
        return quantity

    def number(self, key: str) -> Fraction | None:
        """A bare number, written as text so that it is exact, or None when the key is not there."""
        return self._read(key, lambda text: read_number(text, field=f"{self.where}.{key}"))

    def ml(self, key: str) -> Fraction | None:
        """A volume in mL, or None when the key is not there or its fault is kept."""
        quantity = self.quantity(key, "volume")
        return quantity.to("mL").value if quantity is not None and quantity.dimension == _VOLUME else None

    def needed_ml(self, key: str) -> Fraction:
        """A volume in mL that must be there and be more than 0; 1 stands in while the remaining faults are gathered."""
        volume = self.ml(key)
        if volume is None and not self.has(key):
            self.fault(key, "a volume is needed", "", "0.5 mL")
        if volume == 0:
            self.fault(key, "a volume of more than 0 is needed", self.text(key), "0.5 mL")
        return volume or Fraction(1)

    def strength(self, key: str, of: str) -> Strength | None:
        """A strength of a moiety, or None when the key is not there."""
        return self._read(key, lambda text: read_strength(text, field=f"{self.where}.{key}", of=of))

    def _read(self, key: str, read: Callable[[str], Made]) -> Made | None:
        if not self.has(key):
            self.taken.add(key)
            return None
        try:
            return read(self.text(key))
        except Refused as refused:
            self.faults += refused.faults
            return None

    def tables(self, key: str) -> Iterable["Table"]:
        """The tables of an array, each with its place; none when the key is not there."""
        value = self.raw(key)
        if value is None:
            return ()
        if not isinstance(value, list):
            self.fault(key, "an array of tables is wanted", repr(value), f"[[{key}]]")
            return ()
        return tuple(Table(one, f"{self.where}.{key}[{place}]", self.faults) for place, one in enumerate(value))

    def table(self, key: str) -> "Table | None":
        """A table inside this one, or None."""
        value = self.raw(key)
        return None if value is None else Table(value, f"{self.where}.{key}", self.faults)

    def done(self) -> None:
        """Every key that no one took is a fault: a mistyped key must not lose its value."""
        for key in self.values:
            if key not in self.taken:
                self.fault(key, "the key is not known here", key, ", ".join(sorted(self.taken)))
