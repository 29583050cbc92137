"""The closed set of units, each with its dimension and exact factor, and every spelling that people write for it.

Arbitrary units (IU, USP units) belong to a substance, so an amount in them always says of what. A patient's kilogram
is another dimension than a kilogram of powder: mg/kg never cancels to a bare number. A pound is a dimension of its own,
because weight is taken in kg only.

Sources: UCUM specification, sections 44 and 45 (year 365.25 d, month 30.4375 d, litre, equivalents); ISMP List of
Error-Prone Abbreviations (mcg, units in words, no cc), read in secondary tables.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

Parts = tuple[tuple[str, int], ...]
"""Base symbols with their powers, in the order of writing: mg/kg/min is (("mg", 1), ("kg", -1), ("min", -1))."""


_POWERED = re.compile(r"(.+)\^([0-9]{1,2})")


@dataclass(frozen=True, slots=True)
class Base:
    """One base unit: its dimension, its factor to the dimension's own unit, how it is shown and what is accepted."""

    dimension: str
    factor: Fraction
    shown: str
    plural: str
    spellings: tuple[str, ...]


def _base(dimension: str, factor: Fraction | int, shown: str, *spellings: str, plural: str = "") -> Base:
    return Base(dimension, Fraction(factor), shown, plural or shown, spellings)


# fmt: off
BASES: dict[str, Base] = {
    "kilogram": _base("mass", 1000, "kg"),
    "g": _base("mass", 1, "g", "g", "gm", "gram", "grams"),
    "mg": _base("mass", Fraction(1, 10**3), "mg", "mg", "mgs", "milligram", "milligrams"),
    "mcg": _base("mass", Fraction(1, 10**6), "mcg", "mcg", "mcgs", "ug", "\u00b5g", "microgram", "micrograms"),
    "ng": _base("mass", Fraction(1, 10**9), "ng", "ng", "nanogram", "nanograms"),
    "L": _base("volume", 1, "L", "l", "litre", "litres", "liter", "liters"),
    "mL": _base(
        "volume", Fraction(1, 10**3), "mL", "ml", "mls", "millilitre", "millilitres", "milliliter", "milliliters"
    ),
    "microlitre": _base(
        "volume", Fraction(1, 10**6), "microlitre", "microlitre", "microlitres", "microliter", "microliters",
        "mcl", "ul", "\u00b5l", plural="microlitres",
    ),
    "kg": _base("body mass", 1, "kg", "kg", "kgs", "kilogram", "kilograms"),
    "lb": _base("pounds", 1, "lb", "lb", "lbs", "pound", "pounds"),
    "s": _base("time", 1, "s", "s", "sec", "secs", "second", "seconds"),
    "min": _base("time", 60, "min", "min", "mins", "minute", "minutes"),
    "h": _base("time", 3600, "h", "h", "hr", "hrs", "hour", "hours"),
    "day": _base("time", 86400, "day", "d", "day", "days", plural="days"),
    "week": _base("time", 604800, "week", "wk", "week", "weeks", plural="weeks"),
    "month": _base("time", 2629800, "month", "mo", "month", "months", plural="months"),
    "year": _base("time", 31557600, "year", "y", "yr", "yrs", "year", "years", plural="years"),
    "unit": _base(
        "units", 1, "unit", "unit", "units", "iu", "international unit", "international units", plural="units"
    ),
    "USP unit": _base("USP units", 1, "USP unit", "usp unit", "usp units", plural="USP units"),
    "mol": _base("substance", 1, "mol", "mol", "mole", "moles"),
    "mmol": _base("substance", Fraction(1, 10**3), "mmol", "mmol", "millimole", "millimoles"),
    "Eq": _base("equivalents", 1, "Eq", "eq"),
    "mEq": _base("equivalents", Fraction(1, 10**3), "mEq", "meq"),
    "Osm": _base("osmoles", 1, "Osm", "osm", "osmol"),
    "mOsm": _base("osmoles", Fraction(1, 10**3), "mOsm", "mosm", "mosmol"),
    "psi": _base("pressure", 1, "psi", "psi", "psig"),
    "bar": _base("pressure in bar", 1, "bar", "bar"),
    "drop": _base("drops", 1, "drop", "drop", "drops", plural="drops"),
    "puff": _base("puffs", 1, "puff", "puff", "puffs", plural="puffs"),
    "breath": _base("breaths", 1, "breath", "breath", "breaths", plural="breaths"),
    "dose": _base("doses", 1, "dose", "dose", "doses", plural="doses"),
    "container": _base(
        "containers", 1, "container", "container", "containers", "vial", "vials", "ampoule", "ampoules", "ampule",
        "ampules", "bottle", "bottles", plural="containers",
    ),
    "degC": _base("temperature difference", 1, "degC", "degc"),
    "%": _base("share", Fraction(1, 100), "%", "%"),
    "ppm": _base("share", Fraction(1, 10**6), "ppm", "ppm"),
    "part": _base("parts", 1, "part", "part", "parts", plural="parts"),
}
# fmt: on

SPELLINGS: dict[str, str] = {spelling: key for key, base in BASES.items() for spelling in base.spellings}

DANGEROUS: dict[str, tuple[str, str]] = {
    "u": ("U is read as 0, 4 or cc", "units"),
    "mu": ("MU is read as mg or as thousand", "million units"),
    "cc": ("cc is read as 00 or U", "mL"),
    "gtt": ("drops are not a measure without a calibrated dropper", "mL"),
    "gtts": ("drops are not a measure without a calibrated dropper", "mL"),
    "tsp": ("a spoon is not a measure", "mL"),
    "tbsp": ("a spoon is not a measure", "mL"),
    "mcgm": ("mcgm is not a unit", "mcg"),
    "gr": ("gr is read as gram and as grain", "mg, or g"),
    "grain": ("grains are not used", "mg"),
    "grains": ("grains are not used", "mg"),
}
"""Spellings that are refused because they have killed: spelling to (why, what to write)."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A product of base units with integer powers; `unit("mg/kg/min")` makes one.

    KeyError for a symbol that is not in the closed set; TypeError for a power that is no int, or 0.
    """

    parts: Parts

    def __post_init__(self) -> None:
        for symbol, power in self.parts:
            if symbol not in BASES:
                raise KeyError(f"{symbol} is not a unit of the closed set")
            if type(power) is not int or power == 0:
                raise TypeError(f"the power of a unit must be an int, and not 0 (got {power!r})")

    @property
    def dimension(self) -> Parts:
        """Dimensions with their powers, sorted; a share and a cancelled unit have none."""
        return _dimension(self.parts)

    @property
    def factor(self) -> Fraction:
        """What one of this unit is in the dimensions' own units (g, L, s, ...)."""
        return _factor(self.parts)

    def __str__(self) -> str:
        """The data spelling, with slashes: mg/kg/min. `unit` reads it back; a kilogram of substance is spelled out."""
        over = ".".join(powered(symbol, power) for symbol, power in self.parts if power > 0)
        under = "".join(f"/{powered(symbol, -power)}" for symbol, power in self.parts if power < 0)
        return f"{over}{under}" if over else f"1{under}" if under else ""


def powered(symbol: str, power: int) -> str:
    """The symbol, with its power unless that is 1: mL^2."""
    return symbol if power == 1 else f"{symbol}^{power}"


@lru_cache(maxsize=1024)
def _dimension(parts: Parts) -> Parts:
    total: dict[str, int] = {}
    for symbol, power in parts:
        name = BASES[symbol].dimension
        if name != "share":
            total[name] = total.get(name, 0) + power
    return tuple(sorted((name, power) for name, power in total.items() if power))


@lru_cache(maxsize=1024)
def _factor(parts: Parts) -> Fraction:
    factor = Fraction(1)
    for symbol, power in parts:
        factor *= BASES[symbol].factor ** power
    return factor


@lru_cache(maxsize=1024)
def unit(text: str) -> Unit:
    """The unit of a data spelling such as "mg", "mg/mL", "mcg/kg/min". KeyError for a symbol not in the closed set."""
    over, *under = text.split("/")
    heads = over.split(".") if over not in {"", "1"} else []
    return Unit((*(_part(head, 1) for head in heads), *(_part(foot, -1) for foot in under)))


def _part(text: str, sign: int) -> tuple[str, int]:
    parts = _POWERED.fullmatch(text)
    return (parts[1], sign * int(parts[2])) if parts else (text, sign)


NONE = Unit(())
"""The unit of a bare number."""
