"""How each kind of input is read: a closed set of small readers, all refusing what they cannot understand."""

import re
from collections.abc import Callable
from fractions import Fraction

from drawndose.bench.sums.shape import Stated, Value
from drawndose.bench.sums.strengths import per_volume, read_stated, read_step
from drawndose.quantities import Fault, Quantity, Refused, read_number, read_quantity, unit
from drawndose.quantities.numbers import NUMBER
from drawndose.quantities.quantity import ARBITRARY

Read = Callable[[str, str, str], Value]

COUNTED = {
    *(
        "tablet",
        "tablets",
        "capsule",
        "capsules",
        "spray",
        "sprays",
        "actuation",
        "actuations",
        "treatment",
        "treatments",
    ),
    *("nebule", "nebules", "inhaler", "inhalers", "sachet", "sachets", "patch", "patches", "pack", "packs", "carton"),
    *(
        "unit dose",
        "unit doses",
        "time",
        "times",
        "inhalation",
        "inhalations",
        "application",
        "applications",
        "cartons",
    ),
}
"""Things that are counted and that are no unit of the closed set: a number of them is a number of doses."""

_COUNT = re.compile(
    rf"(?P<n>{NUMBER}|[0-9]+/[0-9]+)\s*(?P<word>[a-z][a-z ]*?)(?:\s*(?:/|\bper\b|\ba\b)\s*d(?:ay)?)?", re.IGNORECASE
)
_ONE_PER_MANY = re.compile(
    rf"(?P<top>.*?[a-z])\s*(?:/|\bper\b|\bfor each\b)\s*(?P<under>(?:{NUMBER})\s*[a-z].*)", re.IGNORECASE
)
_POUNDS_OUNCES = re.compile(
    rf"(?P<lb>{NUMBER})\s*(?:lb|lbs|pounds?)\s*(?P<oz>{NUMBER})\s*(?:oz|ounces?)", re.IGNORECASE
)
_GRAMS = re.compile(rf"(?P<n>{NUMBER})\s*(?:g|gm|grams?)", re.IGNORECASE)
_DAY_RULE = re.compile(r"(?P<rate>.+?)\s+(?:every|q)\s+(?P<gap>.+)", re.IGNORECASE)
_DEGREES = re.compile(rf"(?P<n>{NUMBER})\s*(?:deg(?:rees?)?\s*c?|°\s*c?|c)\b.*", re.IGNORECASE)


def text(raw: str, field: str, of: str) -> str:
    """The text itself; the sum reads it."""
    del field, of
    return " ".join(raw.split())


def stated(raw: str, field: str, of: str) -> Stated:
    """A strength in any form."""
    return read_stated(raw, field, of)


def step(raw: str, field: str, of: str) -> Stated:
    """The strength that one or more dilution steps make."""
    return read_step(" ".join(raw.split()), field, of)


def quantity(*samples: str, kg: str = "kg", one: str = "") -> Read:
    """A reader for quantities of the dimensions of the sample units; a number over several ("1 mL per 2 kg") is divided.

    one: a bare number is taken in this unit, for an input whose name says the unit.
    """
    allowed = {unit(sample).dimension for sample in samples}

    def read(raw: str, field: str, of: str) -> Quantity:
        plain = " ".join(raw.split())
        if one and re.fullmatch(rf"{NUMBER}|[0-9]+/[0-9]+", plain):
            named = of if any(name in ARBITRARY for name, _ in unit(one).dimension) else None
            return Quantity(read_number(plain, field=field), unit(one), ((named, 1),) if named else ())
        found = _over_several(plain, field, of, kg) or read_quantity(plain, field=field, of=of, kg=kg)
        if found.dimension not in allowed:
            wanted = ", ".join(f"a value in {sample}" for sample in samples)
            raise Refused([Fault(field=field, rule="the unit does not fit", came=plain, accepted=wanted)])
        if any(name in ARBITRARY for name, _ in found.dimension):
            return Quantity(found.value, found.unit, ((of, 1),))
        return found

    return read


def _over_several(plain: str, field: str, of: str, kg: str) -> Quantity | None:
    found = _ONE_PER_MANY.fullmatch(plain)
    if found is None:
        return None
    under, _, rest = found["under"].partition("/")
    top = read_quantity(found["top"], field=field, of=of, kg=kg)
    low = read_quantity(under, field=field, kg=kg)
    for more in rest.split("/") if rest else []:
        low = low * read_quantity(f"1 {more.strip()}", field=field, kg=kg)
    if low.value == 0:
        raise Refused([Fault(field=field, rule="nothing stands under the line", came=plain, accepted="1 mL per 2 kg")])
    return top / low


def number(raw: str, field: str, of: str) -> Quantity:
    """A bare number, or a share as a percent."""
    del of
    plain = " ".join(raw.split())
    if plain.endswith("%"):
        return Quantity(read_number(plain[:-1].strip(), field=field) / 100, unit(""))
    return Quantity(read_number(plain, field=field), unit(""))


def counted(raw: str, field: str, of: str) -> Quantity:
    """An amount, a volume, or a number of things that are counted (doses, puffs, tablets, vials)."""
    plain = " ".join(raw.split())
    found = _COUNT.fullmatch(plain)
    if found and found["word"].lower().strip() in COUNTED:
        return Quantity(read_number(found["n"], field=field), unit("dose"))
    if re.fullmatch(NUMBER, plain):
        return Quantity(read_number(plain, field=field), unit("dose"))
    value = read_quantity(plain, field=field, of=of, kg="kilogram")
    return value * Quantity(Fraction(1), unit("dose")) if ("doses", -1) in value.dimension else value


def weight(raw: str, field: str, of: str) -> Quantity:
    """A patient's weight in kg, or in pounds (and ounces), which need the stated kg to the pound."""
    plain = " ".join(raw.split())
    if found := _POUNDS_OUNCES.fullmatch(plain):
        found_weight = Quantity(
            read_number(found["lb"], field=field) + read_number(found["oz"], field=field) / 16, unit("lb")
        )
    elif found := _GRAMS.fullmatch(plain):
        found_weight = Quantity(read_number(found["n"], field=field) / 1000, unit("kg"))
    else:
        found_weight = read_quantity(plain, field=field, of=of)
    if found_weight.dimension not in {(("body mass", 1),), (("pounds", 1),)} or found_weight.value == 0:
        raise Refused([Fault(field=field, rule="a patient's weight is needed", came=plain, accepted="10 kg, 22 lb")])
    return found_weight


def dose_rate(raw: str, field: str, of: str) -> Quantity:
    """A dose for each kg, for a time, or both; "mg/kg/dose" is mg/kg."""
    plain = re.sub(r"\s+of\s+body\s*(?:weight|mass)", "", " ".join(raw.split()), flags=re.IGNORECASE)
    if found := _DAY_RULE.fullmatch(plain):
        rule = "the time between doses is an input of its own"
        raise Refused(
            [Fault(field=field, rule=rule, came=plain, accepted=f"{found['rate']}, and interval {found['gap']}")]
        )
    value = _over_several(plain, field, of, "kg") or read_quantity(plain, field=field, of=of)
    if ("doses", -1) in value.dimension:
        value = value * Quantity(Fraction(1), unit("dose"))
    below = {name for name, power in value.dimension if power < 0}
    if not below or not below <= {"body mass", "time"}:
        rule = "a dose rate is an amount for each kg, for a time, or both"
        raise Refused([Fault(field=field, rule=rule, came=plain, accepted="0.15 mg/kg, 50 mg/kg/day, 10 mcg/min")])
    return value


def mass_or_strength(raw: str, field: str, of: str) -> Value:
    """An amount of the drug, or the amount in a volume."""
    plain = " ".join(raw.split())
    if re.search(r"/|\bper\b|\bin\b|%", plain) and not re.match(r"^[0-9]+/[0-9]+\s*[a-z]+$", plain, re.IGNORECASE):
        return read_stated(plain, field, of)
    return counted(plain, field, of)


def pair(raw: str, field: str, of: str) -> Stated:
    """A stated relation such as "600 mcg base per mg salt"; words that only name the two sides are dropped."""
    plain = re.sub(r"\b(?:base|salt|activity|of|active|drug|powder|the)\b", " ", raw, flags=re.IGNORECASE)
    sides = re.split(r"\s*(?:/|\bper\b|\bin\b|=)\s*", " ".join(plain.split()), maxsplit=1)
    if len(sides) != 2:
        rule = "a relation has two sides"
        raise Refused([Fault(field=field, rule=rule, came=raw, accepted="600 mcg base per mg salt, 12500 units/mg")])
    return per_volume(" ".join(raw.split()), sides[0].strip(), sides[1].strip(), field, of)


def degrees(raw: str, field: str, of: str) -> Quantity:
    """A difference of temperature: "0.52 deg", and what it is for ("per 1 %", "per molal") may follow."""
    plain = " ".join(raw.split())
    found = _DEGREES.fullmatch(plain)
    if found is None:
        found_number = number(plain, field, of) if re.fullmatch(NUMBER, plain) else None
        if found_number is not None:
            return Quantity(found_number.value, unit("degC"))
        raise Refused([Fault(field=field, rule="a temperature difference is needed", came=plain, accepted="0.52 deg")])
    return Quantity(read_number(found["n"], field=field), unit("degC"))


def molality(raw: str, field: str, of: str) -> Quantity:
    """Moles in a kg of solvent: "1 mol/kg", "1 molal"."""
    plain = re.sub(r"\bmolal\b", "mol/kg", " ".join(raw.split()), flags=re.IGNORECASE)
    value = quantity("mol/kilogram", kg="kilogram")(plain, field, of)
    assert isinstance(value, Quantity)
    return value
