"""Quantities as people write them: "0.5 mL", "2.5mg", "0.15 mg/kg", "1 million units", "10 mcg per kg per min".

Sources: ISMP List of Error-Prone Abbreviations (U, IU, cc, naked decimal, trailing zero), read in secondary tables.
"""

import re
from difflib import get_close_matches
from fractions import Fraction

from drawndose.quantities.faults import Fault, Refused
from drawndose.quantities.numbers import NUMBER, Manner, read_number
from drawndose.quantities.quantity import ARBITRARY, Quantity
from drawndose.quantities.units import BASES, DANGEROUS, SPELLINGS, Unit

ACCEPTED = "a number with its unit: 2.5 mg, 0.5 mL, 1,000 units, 20 kg, 4 h, 5 mg/mL"
_USUAL = {
    one.lower(): one
    for one in ("mg", "mcg", "mL", "units", "g", "kg", "L", "ng", "mmol", "mEq", "microlitre", "min", "hours", "days")
}
MOST_CHARACTERS = 200
_SCALE = {"million": 10**6, "thousand": 10**3}
_CASELESS = re.IGNORECASE | re.ASCII  # ASCII, or a dotless i and a Kelvin sign would pass for i and k
_SHAPE = re.compile(
    rf"(?P<sign>[-+\u2212\u2013\u2014]?)\s*(?P<number>[0-9]+/[0-9]+(?=\s*[a-z%\u00b5]|$)|{NUMBER})\s*"
    r"(?P<scale>(?:million|thousand)\b)?\s*(?P<rest>.*)",
    _CASELESS | re.DOTALL,
)
_PER = re.compile(r"\s*(?:/|\bper\b)\s*", _CASELESS)
_MOIETY = {"mass", "units", "USP units", "substance", "equivalents"}


def tidy(text: str) -> str:
    """The text with every kind of blank as one space and the two micro signs as one; letters and digits untouched."""
    return re.sub(r"\s+", " ", text.replace("\u03bc", "\u00b5")).strip()


def read_quantity(
    text: str,
    *,
    field: str = "quantity",
    manner: Manner = Manner.DATA,
    of: str | None = None,
    kg: str = "kg",
) -> Quantity:
    """Read one number with its unit. Raises Refused with every fault of the text.

    of: the moiety, for an amount of something; needed for units. kg: "kg" reads kg as a patient's mass, "kilogram" as a
    mass of substance.

    >>> read_quantity("2.5mg") == read_quantity("2,500 mcg")
    True
    >>> read_quantity("5 cc", field="fill")
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: fill: cc is read as 00 or U. Came: "5 cc". Accepted: mL.
    """
    plain = tidy(text)
    faults: list[Fault] = []
    if len(text) > MOST_CHARACTERS:
        raise Refused([Fault(field=field, rule=f"at most {MOST_CHARACTERS} characters", came=text, accepted=ACCEPTED)])
    shape = _SHAPE.fullmatch(plain)
    if shape is None:
        rule = "an amount is a number and then a unit"
        raise Refused([Fault(field=field, rule=rule, came=plain, accepted="2.5 mg, 0.5 mL, 1,000 units")])
    if shape["sign"]:
        faults.append(
            Fault(field=field, rule="an amount has no sign", came=plain, accepted="2.5 mg, 0.5 mL, 1,000 units")
        )
    value = Fraction(0)
    try:
        value = read_number(shape["number"], field=field, manner=manner)
    except Refused as refused:
        faults += refused.faults
    value *= _SCALE[shape["scale"].lower()] if shape["scale"] else 1
    found = read_unit(shape["rest"], field=field, came=plain, faults=faults, kg=kg)
    if found is not None and of is None and any(name in ARBITRARY for name, _ in found.dimension):
        rule = "units belong to a substance, and none was named"
        faults.append(Fault(field=field, rule=rule, came=plain, accepted="an amount in units together with its drug"))
    if faults or found is None:
        raise Refused(faults)
    return Quantity(value, found, _moieties(found, of))


def _moieties(found: Unit, of: str | None) -> tuple[tuple[str, int], ...]:
    """The first amount in order of writing carries the moiety (units per mg: units of it); a volume or a time does not."""
    powers = [power for symbol, power in found.parts if BASES[symbol].dimension in _MOIETY]
    return ((of, powers[0]),) if of and powers else ()


def read_unit(words: str, *, field: str, came: str, faults: list[Fault], kg: str = "kg") -> Unit | None:
    """The unit that the words spell, or None with the reason added to `faults`."""
    if not words:
        faults.append(Fault(field=field, rule="a number needs a unit", came=came, accepted=ACCEPTED))
        return None
    parts: list[tuple[str, int]] = []
    found_before = len(faults)
    for place, word in enumerate(_PER.split(words)):
        symbol = _symbol(word.strip(), kg)
        if symbol is None:
            faults.append(_unit_fault(word.strip(), field, came))
        else:
            parts.append((symbol, 1 if place == 0 else -1))
    if len(parts) != len({symbol for symbol, _ in parts}):
        faults.append(Fault(field=field, rule="the same unit stands twice", came=came, accepted=ACCEPTED))
    return Unit(tuple(parts)) if len(faults) == found_before else None


def _symbol(word: str, kg: str) -> str | None:
    """Spellings are read without regard to case; no two units of the closed set differ by case alone.

    Not so beyond ASCII: the capital of the micro sign looks like M, and "500 \u039cG" is no more mcg than it is mg.
    """
    symbol = None if _strange(word) else SPELLINGS.get(word.lower())
    return kg if symbol == "kg" else symbol


def _strange(word: str) -> list[str]:
    return [sign for sign in word if not (sign == "\u00b5" or (sign.isascii() and sign.isprintable()))]


def _unit_fault(word: str, field: str, came: str) -> Fault:
    if not word:
        return Fault(field=field, rule='a unit is missing beside "/" or "per"', came=came, accepted=ACCEPTED)
    if word.lower() in DANGEROUS:
        why, instead = DANGEROUS[word.lower()]
        return Fault(field=field, rule=why, came=came, accepted=instead)
    pieces = word.split(" ")
    if len(pieces) > 1 and all(piece.lower() in SPELLINGS for piece in pieces):
        return Fault(field=field, rule="two units stand side by side", came=came, accepted="one unit, or mg/mL")
    rule = f'"{word[:40]}" is not a unit that is known here'
    if strange := _strange(word):
        rule += f" (it has the character U+{ord(strange[0]):04X})"
    near = get_close_matches(word.lower(), _USUAL, n=3)
    return Fault(field=field, rule=rule, came=came, accepted=", ".join(_USUAL[one] for one in near) or ACCEPTED)
