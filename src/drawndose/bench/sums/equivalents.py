"""Moles and equivalents: mmol = mg ÷ molar mass, mEq = mmol × valence."""

from drawndose.bench.sums.quantity_words import as_percent, one, other_forms, over, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity, unit

_MOL, _EQUIVALENT = ("mmol", "mmol/mL"), ("mEq", "mEq/mL")


def _in_unit(value: Quantity, spellings: tuple[str, str]) -> tuple[Quantity, int]:
    """The amount, or the amount in a volume, in the unit that fits, and which of the two it was. Unlike for neither."""
    place = 0 if len(value.dimension) == 1 else 1
    return value.to(spellings[place]), place


def _to_eq(value: Quantity, valence: Quantity) -> Quantity:
    """mEq = mmol × valence."""
    moles, place = _in_unit(value, _MOL)
    return Quantity(moles.value * valence.value, unit(_EQUIVALENT[place]), value.of)


def _to_mol(value: Quantity, valence: Quantity) -> Quantity:
    """mmol = mEq ÷ valence."""
    equivalents, place = _in_unit(value, _EQUIVALENT)
    return Quantity(equivalents.value / valence.value, unit(_MOL[place]), value.of)


def _in_mmol(mass: Quantity, molar: Quantity) -> Quantity:
    """The moles of a mass, or of a mass in a volume, in mmol."""
    return _in_unit(mass / molar, _MOL)[0]


_RULES = (
    Rule("amount", ("mass",), lambda mass: mass),
    Rule("amount", ("dose",), lambda dose: dose),
    Rule("amount", ("strength", "volume"), times, "{strength} × {volume} = {amount}"),
    Rule("amount", ("strength", "final_volume"), times, "{strength} × {final_volume} = {amount}"),
    Rule("amount", ("strength", "start_volume"), times, "{strength} × {start_volume} = {amount}"),
    Rule("conc", ("strength",), lambda strength: strength),
    Rule("moles", ("amount", "molar_mass"), _in_mmol, "{amount} ÷ {molar_mass} = {moles}"),
    Rule("eq", ("moles", "valence"), _to_eq, "{moles} × {valence} = {eq}"),
    Rule("conc_moles", ("conc", "molar_mass"), _in_mmol, "{conc} ÷ {molar_mass} = {conc_moles}"),
    Rule("conc_moles", ("mass_strength", "molar_mass"), _in_mmol, "{mass_strength} ÷ {molar_mass} = {conc_moles}"),
    Rule("mass_strength", ("mass", "volume"), over, "{mass} in {volume} = {mass_strength}"),
    Rule("mass_strength", ("mass", "final_volume"), over, "{mass} in {final_volume} = {mass_strength}"),
    Rule("conc_eq", ("conc_moles", "valence"), _to_eq, "{conc_moles} × {valence} = {conc_eq}"),
    # the other way round
    Rule(
        "one_eq",
        ("molar_mass", "valence"),
        lambda molar, valence: one("mmol") * molar / valence,
        "{molar_mass} ÷ {valence} = {one_eq} in 1 mEq",
    ),
    Rule("one_mmol", ("molar_mass",), lambda molar: one("mmol") * molar, "1 mmol × {molar_mass} = {one_mmol}"),
    Rule("from_eq", ("meq", "valence"), _to_mol, "{meq} ÷ {valence} = {from_eq}"),
    Rule("from_eq", ("dose", "valence"), _to_mol, "{dose} ÷ {valence} = {from_eq}"),
    Rule("from_eq", ("eq_amount", "valence"), _to_mol, "{eq_amount} ÷ {valence} = {from_eq}"),
    Rule("eq_amount", ("strength", "volume"), times, "{strength} × {volume} = {eq_amount}"),
    Rule("from_eq", ("mmol",), lambda mmol: mmol),
    Rule("weighed", ("from_eq", "molar_mass"), times, "{from_eq} × {molar_mass} = {weighed}"),
    Rule("conc_from_eq", ("conc", "valence"), _to_mol, "{conc} ÷ {valence} = {conc_from_eq}"),
    Rule("conc_from_eq", ("meq_in", "valence"), _to_mol, "{meq_in} ÷ {valence} = {conc_from_eq}"),
    Rule("conc_from_eq", ("mmol_in",), lambda mmol: mmol),
    Rule("conc_from_eq", ("conc",), lambda conc: conc),
    Rule("meq_in", ("meq", "volume"), over, "{meq} in {volume} = {meq_in}"),
    Rule("meq_in", ("mass", "volume"), over, "{mass} in {volume} = {meq_in}"),
    Rule("mmol_in", ("mmol", "volume"), over, "{mmol} in {volume} = {mmol_in}"),
    Rule(
        "weighed_in",
        ("conc_from_eq", "molar_mass"),
        lambda conc, molar: (conc * molar).to("mg/mL"),
        "{conc_from_eq} × {molar_mass} = {weighed_in}",
    ),
    Rule("percent", ("weighed_in",), as_percent, "{weighed_in} = {percent} (g in 100 mL)"),
    Rule(
        "weighed",
        ("molarity", "volume", "molar_mass"),
        lambda m, v, molar: m * v * molar,
        "{molarity} × {volume} × {molar_mass} = {weighed}",
    ),
)
_SLIPS = (
    Slip(
        "eq",
        "valence left out",
        "mmol taken for mEq",
        ("moles",),
        lambda moles: Quantity(moles.value, one("mEq").unit, moles.of),
    ),
    Slip(
        "eq",
        "divided by the valence",
        "{moles} ÷ {valence}",
        ("eq", "valence"),
        lambda eq, valence: eq / valence.value / valence.value,
    ),
    Slip("one_eq", "valence left out", "the whole mmol", ("molar_mass",), lambda molar: one("mmol") * molar),
    Slip("percent", "factor 10 too much", "mg per mL read as percent", ("percent",), lambda percent: percent * 10),
    Slip(
        "percent", "factor 10 too little", "the point one place to the left", ("percent",), lambda percent: percent / 10
    ),
    Slip("conc_moles", "factor 1000", "mmol taken for mol", ("conc_moles",), lambda conc: conc * 1000),
    Slip(
        "weighed",
        "valence multiplied",
        "by the valence instead of divided",
        ("weighed", "valence"),
        lambda mass, valence: mass * valence.value * valence.value,
    ),
)
_FAMILY = Family(_RULES, _SLIPS)
_EQ = Want("eq", "milliequivalents", ("mEq",), ("milliequivalents", "meq"))
_MOLES = Want("moles", "millimoles", ("mmol",), ("millimoles", "mmol"))
_CONC_EQ = Want(
    "conc_eq",
    "milliequivalents in a litre",
    ("mEq/L",),
    ("per litre", "per liter", "meq/l"),
    lambda value: (value.to("mEq/mL"),),
)
_CONC_MOLES = Want("conc_moles", "molarity", ("mol/L",), ("molarity",))

KINDS = (
    _FAMILY.kind("mass_to_meq", "Mass to milliequivalents", "the milliequivalents", _EQ, _CONC_EQ, _MOLES, _CONC_MOLES),
    _FAMILY.kind(
        "meq_mass",
        "Milliequivalents to mass",
        "the mass of 1 mEq, or of so many",
        Want("weighed", "mass", ("mg",)),
        Want("one_eq", "mass of 1 mEq", ("mg",)),
        Want("one_mmol", "mass of 1 mmol", ("mg",)),
        _EQ,
        _CONC_EQ,
    ),
    _FAMILY.kind(
        "meq_to_percent",
        "Milliequivalents to percent",
        "the strength in percent",
        Want("percent", "strength in percent", ("%",), ("percent",)),
        Want("weighed_in", "strength", ("mg/mL",), ("mg/ml",), other_forms),
        Want("weighed", "mass", ("mg",), ("mass",)),
    ),
    _FAMILY.kind("molarity", "Molarity", "the molarity", _CONC_MOLES, Want("weighed", "mass", ("g",), ("mass",))),
)
