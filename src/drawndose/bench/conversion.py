"""One value in its other forms: a strength as percent, ratio and mg per mL; an amount in another unit.

One moiety becomes another (salt and base, units and mg) only by a ratio that the catalogue states with its source.
"""

import re
from dataclasses import dataclass

from drawndose.bench.sums.quantity_words import as_percent, one_gram_in
from drawndose.bench.sums.shape import Stated
from drawndose.bench.sums.strengths import read_stated
from drawndose.quantities import Fault, Quantity, Refused, Unlike, read_quantity, show, unit
from drawndose.quantities.units import BASES
from drawndose.reference import Catalogue

_MASS_PER_VOLUME = (("mass", 1), ("volume", -1))
_STRENGTHS = ("mg/mL", "mcg/mL", "g/L")
_OTHERS = {
    "mass": ("g", "mg", "mcg", "ng"),
    "volume": ("L", "mL"),
    "time": ("day", "h", "min", "s"),
    "substance": ("mol", "mmol"),
    "equivalents": ("Eq", "mEq"),
    "osmoles": ("Osm", "mOsm"),
}


@dataclass(frozen=True, slots=True)
class Form:
    """One form of a value: its name ("mg per mL", "percent w/v", "ratio 1:x") and the exact quantity."""

    name: str
    value: Quantity


@dataclass(frozen=True, slots=True)
class Converted:
    """What came, as it was understood, with the line that says so, and its other forms."""

    came: str
    line: str
    forms: tuple[Form, ...]


def convert(text: str, wanted: str = "", *, drug: str = "") -> Converted:
    """A strength or an amount in other forms, or in the one wanted ("mcg", "mg/mL", "%", "ratio"). Raises Refused."""
    of = drug or "the drug"
    plain = " ".join(text.split())
    stated = _stated(plain, of)
    forms = _strength_forms(stated) if stated else _amount_forms(read_quantity(plain, field="value", of=of))
    value = stated.ratio if stated else read_quantity(plain, field="value", of=of)
    line = stated.line if stated else ""
    if not wanted:
        return Converted(plain, line, forms)
    return Converted(plain, line, (_in(value, forms, wanted, plain, of),))


def counted_otherwise(text: str, *, catalogue: Catalogue) -> Converted | None:
    """An amount of a named moiety ("3 mg albuterol sulfate") as the drug's other moieties count it, by every stated ratio.

    None when the text names no drug. Refused when the amount cannot be read or no ratio is stated.
    """
    plain = " ".join(text.split())
    names = sorted(catalogue.names, key=len, reverse=True)
    name = next((one for one in names if plain.lower().endswith(f" {one}")), None)
    if name is None:
        return None
    ident, named = catalogue.names[name]
    drug = catalogue.drug(ident)
    words = plain[: -len(name)].removesuffix(" ").removesuffix(" of")
    in_units = re.search(r"\bunits?$", words, re.IGNORECASE) is not None
    moiety = (drug.in_units if in_units else named) or name
    amount = read_quantity(words, field="value", of=moiety)
    forms = tuple(
        Form(
            f"{other.id}, by the stated {show(by.this)} for {show(by.equals)} ({by.origin.source})", by.convert(amount)
        )
        for other in drug.moieties
        for by in drug.equivalences_between(moiety, other.id)
        if other.id != moiety
    )
    if not forms:
        rule = f"no ratio between {moiety} and another moiety is stated"
        accepted = ", ".join(one.id for one in drug.moieties if one.equivalences) or "a moiety with a stated ratio"
        raise Refused([Fault(field="value", rule=rule, came=plain, accepted=accepted)])
    return Converted(plain, "", forms)


def _stated(plain: str, of: str) -> Stated | None:
    """The strength, where the text looks like one; a rate or an amount is none, and so much for each kg is a dose."""
    if not re.search(r"%|:|/|\bper\b|\bin\b|ppm|[0-9]\s*m?M$", plain):
        return None
    try:
        found = read_stated(plain, "value", of)
    except Refused:
        if re.search(r"%|:|ppm", plain):
            raise
        return None
    by_the_kg = found.basis == "w/w" and re.search(r"kg|kilogram", plain) is not None
    by_volume = dict(found.ratio.dimension).get("volume") == -1
    return found if by_volume or (found.basis != "amount" and not by_the_kg) else None


def _strength_forms(stated: Stated) -> tuple[Form, ...]:
    ratio = stated.ratio
    if ratio.dimension == ():
        kind = stated.basis if "/" in stated.basis else "w/w or v/v"
        share = (Form("ratio 1:x", Quantity(1 / ratio.base, unit("part"))),) if ratio.base else ()
        return (Form(f"percent {kind}", as_percent(ratio)), *share)
    if ratio.dimension != _MASS_PER_VOLUME:
        return (Form("as it is, in 1 mL", _per_mL(ratio)),)
    forms = [Form("percent w/v", as_percent(ratio))]
    forms += [Form(_words(spelling), ratio.to(spelling)) for spelling in _STRENGTHS]
    if ratio.base:
        forms.append(Form("ratio 1:x", Quantity(one_gram_in(ratio).value, unit("part"))))
    return tuple(forms)


def _per_mL(ratio: Quantity) -> Quantity:
    top = next((symbol for symbol, power in ratio.unit.parts if power > 0), "")
    return ratio.to(f"{top}/mL")


def _amount_forms(value: Quantity) -> tuple[Form, ...]:
    if len(value.dimension) != 1 or value.dimension[0][1] != 1:
        return (Form(str(value.unit), value),)
    units = _OTHERS.get(value.dimension[0][0], (str(value.unit),))
    return tuple(Form(_words(spelling), value.to(spelling)) for spelling in units)


def _words(spelling: str) -> str:
    top, *under = spelling.split("/")
    return " per ".join([BASES[top].plural, *(BASES[one].shown for one in under)])


def _in(value: Quantity, forms: tuple[Form, ...], wanted: str, plain: str, of: str) -> Form:
    """The value in the wanted form: percent, ratio, or a unit in any of its spellings."""
    word = " ".join(wanted.split()).lower()
    prefix = {"%": "percent", "percent": "percent", "ratio": "ratio", "1:x": "ratio"}.get(word)
    if prefix:
        for form in forms:
            if form.name.startswith(prefix):
                return form
        raise Refused([Fault(field="to", rule=f"it has no {prefix}", came=plain, accepted=_names(forms))])
    target = read_quantity(f"1 {wanted}", field="to", of=of)
    if target.dimension == _MASS_PER_VOLUME and value.dimension == ():
        rule = "a share by weight or by volume is not an amount in a volume without a density"
        raise Refused([Fault(field="to", rule=rule, came=plain, accepted=_names(forms))])
    try:
        if target.dimension != value.dimension:
            raise Unlike(f"{plain} does not convert to {wanted}")
        made = Quantity(value.base / target.base, target.unit, value.of)
    except Unlike as unlike:
        raise Refused([Fault(field="to", rule=str(unlike), came=wanted, accepted=_names(forms))]) from unlike
    return Form(wanted, made)


def _names(forms: tuple[Form, ...]) -> str:
    return ", ".join(form.name for form in forms)
