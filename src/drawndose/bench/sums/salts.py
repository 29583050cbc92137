"""Salt and base, and units: a strength counts one of them, and taking it for the other is a wrong dose.

By molar masses: one mole of salt holds so many moles of base. By a stated pair, or a potency: the ratio of the two.
Two published factors for one conversion exist (colistimethate), so the factor is always an input.
"""

from dataclasses import replace
from fractions import Fraction

from drawndose.bench.sums.quantity_words import as_percent, bare, other_forms, over, ratio, same, times
from drawndose.bench.sums.shape import Sum, Worked
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity, unit
from drawndose.reference.molar_masses import salt_of

_RULES = (
    Rule("bases", ("base_per_salt",), same),
    Rule(
        "per_salt",
        ("base_molar_mass", "salt_molar_mass"),
        ratio,
        "{base_molar_mass} ÷ {salt_molar_mass} = {per_salt} of base in 1 of salt, one base in a salt",
    ),
    Rule(
        "per_salt",
        ("base_molar_mass", "salt_molar_mass", "base_per_salt"),
        lambda base, salt, count: count * ratio(base, salt),
        "{base_per_salt} × {base_molar_mass} ÷ {salt_molar_mass} = {per_salt} of base in 1 of salt",
    ),
    Rule("per_salt", ("potency",), same, "{potency} of base in 1 of salt"),
    Rule(
        "per_salt",
        ("salt_per_base",),
        lambda factor: bare(1) / factor,
        "1 ÷ {salt_per_base} = {per_salt} of base in 1 of salt",
    ),
    Rule("pair", ("base_mass", "salt_mass"), ratio, "{base_mass} ÷ {salt_mass} = {pair} of base in 1 of salt"),
    Rule("base", ("salt_mass", "per_salt"), times, "{salt_mass} × {per_salt} = {base}"),
    Rule("base", ("salt_wanted", "per_salt"), times, "{salt_wanted} × {per_salt} = {base}"),
    Rule("base", ("salt_wanted", "pair"), times, "{salt_wanted} × {pair} = {base}"),
    Rule("salt", ("base_mass", "per_salt"), over, "{base_mass} ÷ {per_salt} = {salt}"),
    Rule("salt", ("base_wanted", "per_salt"), over, "{base_wanted} ÷ {per_salt} = {salt}"),
    Rule("salt", ("base_wanted", "pair"), over, "{base_wanted} ÷ {pair} = {salt}"),
    Rule("percent", ("pair",), as_percent, "{pair} × 100 = {percent}"),
    Rule("percent", ("per_salt",), as_percent, "{per_salt} × 100 = {percent}"),
    Rule(
        "salt_for_base", ("pair",), lambda share: bare(1) / share, "1 ÷ {pair} = {salt_for_base} of salt for 1 of base"
    ),
    Rule(
        "salt_for_base",
        ("per_salt",),
        lambda share: bare(1) / share,
        "1 ÷ {per_salt} = {salt_for_base} of salt for 1 of base",
    ),
)
_SLIPS = (
    Slip("base", "salt taken as base", "the mass of salt, not converted", ("salt_mass",), same),
    Slip("base", "converted the wrong way", "{salt_mass} ÷ {per_salt}", ("salt_mass", "per_salt"), over),
    Slip("salt", "base taken as salt", "the mass of base, not converted", ("base_mass",), same),
    Slip("salt", "base taken as salt", "the mass of base, not converted", ("base_wanted",), same),
    Slip("salt", "converted the wrong way", "{base_mass} × {per_salt}", ("base_mass", "per_salt"), times),
    Slip("salt", "converted the wrong way", "{base_wanted} × {per_salt}", ("base_wanted", "per_salt"), times),
    Slip("base", "one base in a salt", "{base_per_salt} left out", ("base", "base_per_salt"), over),
    Slip("salt", "one base in a salt", "{base_per_salt} left out", ("salt", "base_per_salt"), times),
    Slip("percent", "upside down", "salt ÷ base", ("percent",), lambda percent: as_percent(bare(1) / percent)),
)
SALTS = Family(_RULES, _SLIPS)
_SALT = Want("salt", "mass of salt", ("mg",), ("mass of salt", "mass of the salt"))
_BASE = Want("base", "mass of base", ("mg",), ("mass of base", "mass of the base"))
_PERCENT = Want("percent", "percent of active part in the salt", ("%",), ("percent", "factor", "fraction"))
_FACTOR = Want("salt_for_base", "salt for 1 part of base", ("",), ("salt mass per", "salt per", "salt for", "factor"))

_A_MILLION = Fraction(10**6)
_PER_MG = unit("unit/mg")


def _units_per_mg(units: Quantity, mass: Quantity) -> Quantity:
    return Quantity(units.to("unit").value / mass.to("mg").value, _PER_MG, units.of or _OF)


_OF = (("the drug", 1),)
_UNIT_RULES = (
    Rule("per_mg", ("iu_per_mg",), same),
    Rule("per_mg", ("potency",), same),
    Rule(
        "per_mg",
        ("mg_per_million_iu",),
        lambda mass: _units_per_mg(Quantity(_A_MILLION, unit("unit"), _OF), mass),
        "1,000,000 units ÷ {mg_per_million_iu} = {per_mg}",
    ),
    Rule("weighed", ("salt_mass",), same),
    Rule("weighed", ("base_mass",), same),
    Rule("weighed", ("mass",), same),
    Rule("weighed", ("base_wanted",), same),
    Rule("weighed", ("salt_wanted",), same),
    Rule("activity", ("weighed", "per_mg"), times, "{weighed} × {per_mg} = {activity}"),
    Rule("wanted_units", ("units",), same),
    Rule("wanted_units", ("dose",), same),
    Rule("weight_of_units", ("wanted_units", "per_mg"), over, "{wanted_units} ÷ {per_mg} = {weight_of_units}"),
    Rule(
        "activity_per_mg", ("wanted_units", "weighed"), _units_per_mg, "{wanted_units} ÷ {weighed} = {activity_per_mg}"
    ),
    Rule("salt_for_base", ("salt_mass", "base_mass"), ratio, "{salt_mass} ÷ {base_mass} = {salt_for_base}"),
    Rule("salt", ("base_wanted", "salt_for_base"), times, "{base_wanted} × {salt_for_base} = {salt}"),
    Rule("base", ("salt_wanted", "salt_for_base"), over, "{salt_wanted} ÷ {salt_for_base} = {base}"),
)
_UNIT_SLIPS = (
    Slip("activity", "factor 1000", "mcg taken for mg", ("activity",), lambda value: value / 1000),
    Slip("activity", "factor 10 too much", "a zero too many", ("activity",), lambda value: value * 10),
    Slip("weight_of_units", "factor 10 too much", "a zero too many", ("weight_of_units",), lambda mass: mass * 10),
    Slip("salt_for_base", "upside down", "{base_mass} ÷ {salt_mass}", ("base_mass", "salt_mass"), ratio),
)
_LABEL_RULES = (
    Rule("per_mL", ("mass", "volume"), over, "{mass} in {volume} = {per_mL}"),
    Rule("per_mL", ("base_mass", "volume"), over, "{base_mass} in {volume} = {per_mL}"),
    Rule("per_mL", ("base_in_all", "volume"), over, "{base_in_all} of base in {volume} = {per_mL}"),
    Rule("base_in_all", ("salt_mass", "per_salt"), times, "{salt_mass} × {per_salt} = {base_in_all}"),
    Rule(
        "base",
        ("salt_mass", "per_salt", "mass"),
        lambda salt, share, _: salt * share,
        "{salt_mass} × {per_salt} = {base} (stated: {mass})",
    ),
    Rule(
        "base",
        ("salt_mass", "per_salt", "mass", "volume"),
        lambda salt, share, _, __: salt * share,
        "{salt_mass} × {per_salt} = {base} (stated: {mass} in {volume})",
    ),
    *_RULES,
)


def _from_label(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    """A label's salt mass needs molar masses; where the question has none, those of the named salt are used."""
    stated = {"salt_molar_mass", "base_molar_mass", "potency", "salt_per_base"}
    salt = salt_of(of)
    if "salt_mass" not in given or stated & set(given) or salt is None:
        return _LABEL.work(this, given, of, asked)
    worked = _LABEL.work(this, {**given, **salt.given()}, of, asked)
    return replace(worked, lines=(salt.says(), *worked.lines))


_LABEL = Family(_LABEL_RULES, _SLIPS).kind(
    "unit_dose_strength",
    "A unit dose whose strength is in base",
    "the strength, or the base that the salt stands for",
    Want("per_mL", "strength", ("mg/mL",), ("strength",), other_forms),
    _BASE,
    _SALT,
)

KINDS = (
    SALTS.kind(
        "salt_base",
        "Salt and base",
        "the mass of salt or of base, or the share of base",
        _SALT,
        _BASE,
        _PERCENT,
        _FACTOR,
    ),
    replace(_LABEL, work=_from_label),
    Family(_UNIT_RULES, _UNIT_SLIPS).kind(
        "units_mass",
        "Units and mass",
        "units, mass, or the mass of salt for one of base",
        Want("activity", "units", ("unit",)),
        Want("weight_of_units", "mass of the units", ("mg",)),
        Want("activity_per_mg", "units in 1 mg", ("unit/mg",)),
        _SALT,
        _BASE,
        Want("salt_for_base", "salt mass per mass of base activity", ("",)),
    ),
)
