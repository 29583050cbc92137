"""Tonicity: dissociation factor, sodium chloride equivalent, freezing point, and what makes a solution isotonic.

E of a drug = (i ÷ molar mass) ÷ (i ÷ molar mass of sodium chloride). What a solution lacks is what an isotonic one would
hold less what the drugs stand for. The constants (0.9 %, 0.52 deg, 1.86 deg) differ between texts and are inputs.
"""

from drawndose.bench.sums.quantity_words import as_percent, bare, minus, over, plus, ratio, same
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity, unit


def _molal(strength: Quantity, molar: Quantity) -> Quantity:
    """Moles in 1 L, taken as moles in 1 kg of water, as these sums do for a weak solution."""
    return Quantity((strength / molar).to("mol/L").value, unit("mol/kilogram"))


def _lowering(factor: Quantity, molality: Quantity, kf: Quantity) -> Quantity:
    return Quantity(factor.base * molality.to("mol/kilogram").value * kf.value, unit("degC"))


_FACTOR = (
    Rule("i", ("i_factor",), same),
    Rule(
        "i",
        ("ions", "dissociation"),
        lambda ions, share: plus(bare(1), share * minus(ions, bare(1))),
        "1 + {dissociation} × ({ions} − 1) = {i}",
    ),
)
_RULES = (
    *_FACTOR,
    Rule(
        "found_dissociation",
        ("i_factor", "ions"),
        lambda i, ions: as_percent(minus(i, bare(1)) / minus(ions, bare(1))),
        "({i_factor} − 1) ÷ ({ions} − 1) = {found_dissociation}",
    ),
    Rule("drug_effect", ("i", "molar_mass"), over, "{i} ÷ {molar_mass} = {drug_effect}"),
    Rule(
        "salt_effect",
        ("nacl_i", "nacl_molar_mass"),
        over,
        "{nacl_i} ÷ {nacl_molar_mass} = {salt_effect} for sodium chloride",
    ),
    Rule(
        "found_e",
        ("drug_effect", "salt_effect"),
        lambda drug, salt: bare(drug.base / salt.base),
        "{drug_effect} ÷ {salt_effect} = {found_e}",
    ),
    Rule("found_e", ("depression", "nacl_depression"), ratio, "{depression} ÷ {nacl_depression} = {found_e}"),
    Rule("molal", ("molality",), same),
    Rule(
        "molal", ("strength", "molar_mass"), _molal, "{strength} ÷ {molar_mass} = {molal} (1 L taken as 1 kg of water)"
    ),
    Rule("molal", ("molarity",), lambda molarity: Quantity(molarity.to("mol/L").value, unit("mol/kilogram"))),
    Rule(
        "molal",
        ("in_mass", "molar_mass"),
        lambda share, molar: Quantity(share.base / molar.to("g/mol").value * 1000, unit("mol/kilogram")),
    ),
    Rule("in_mass", ("mass", "diluent_mass"), over, "{mass} in {diluent_mass} of water"),
    Rule("lowering", ("i", "molal", "kf"), _lowering, "{i} × {molal} × {kf} = {lowering}"),
    Rule("lowering", ("molal", "kf"), lambda molal, kf: _lowering(bare(1), molal, kf), "{molal} × {kf} = {lowering}"),
    Rule(
        "lowering",
        ("percent", "depression"),
        lambda percent, each: each * percent.to("%").value,
        "{percent} × {depression} for each 1 % = {lowering}",
    ),
    Rule("percent", ("strength",), as_percent),
    Rule("salt", ("isotonic",), as_percent),
    Rule(
        "isotonic_percent",
        ("salt", "e_value"),
        over,
        "{salt} ÷ {e_value} = {isotonic_percent}",
    ),
    Rule(
        "isotonic_percent",
        ("salt", "found_e"),
        over,
        "{salt} ÷ {found_e} = {isotonic_percent}",
    ),
    Rule(
        "isotonic_percent",
        ("target", "depression"),
        lambda target, each: as_percent(ratio(target, each) / 100),
        "{target} ÷ {depression} for each 1 % = {isotonic_percent}",
    ),
)
_SLIPS = (
    Slip("i", "ions counted whole", "dissociation left out", ("ions",), same),
    Slip(
        "i",
        "ions not lessened by one",
        "1 + {dissociation} × {ions}",
        ("ions", "dissociation"),
        lambda ions, share: plus(bare(1), share * ions),
    ),
    Slip("found_e", "upside down", "sodium chloride ÷ drug", ("found_e",), lambda e: bare(1) / e),
    Slip("found_e", "dissociation left out", "molar masses only", ("nacl_molar_mass", "molar_mass"), ratio),
    Slip(
        "lowering",
        "dissociation left out",
        "i taken as 1",
        ("molal", "kf"),
        lambda molal, kf: _lowering(bare(1), molal, kf),
    ),
    Slip("lowering", "factor 10 too much", "the point one place to the right", ("lowering",), lambda value: value * 10),
    Slip(
        "isotonic_percent",
        "multiplied",
        "{salt} × {e_value}",
        ("salt", "e_value"),
        lambda salt, e: salt * e,
    ),
)
_FAMILY = Family(_RULES, _SLIPS)

KINDS = (
    _FAMILY.kind(
        "i_factor",
        "Dissociation factor",
        "the dissociation factor i",
        Want("i", "dissociation factor i", ("",)),
        Want("found_dissociation", "share that is dissociated", ("%",), ("dissociated", "degree")),
    ),
    _FAMILY.kind(
        "e_value", "Sodium chloride equivalent", "E of the drug", Want("found_e", "sodium chloride equivalent E", ("",))
    ),
    _FAMILY.kind(
        "freezing_point",
        "Lowering of the freezing point",
        "the freezing-point depression",
        Want("lowering", "freezing-point depression", ("degC",)),
    ),
    _FAMILY.kind(
        "isotonic_percent",
        "Isotonic solution of one drug",
        "the percent that is isotonic",
        Want("isotonic_percent", "percent of an isotonic solution of the agent", ("%",)),
    ),
)
