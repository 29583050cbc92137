"""One strength in its several forms: percent, ratio 1:x, mg per mL, parts per million, a fraction.

Percent w/v is g in 100 mL, w/w g in 100 g, v/v mL in 100 mL. A ratio 1:x is 1 g in x mL (1 g in x g, 1 mL in x mL).
"""

from drawndose.bench.sums.quantity_words import as_parts, as_percent, bare, one, one_gram_in, plus, within
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity, unit


def _in_hundred(state: Quantity) -> Quantity:
    """The grams in 100 mL. Unlike for a share."""
    return Quantity(state.to("g/mL").value * 100, unit("g"))


def _forms(value: Quantity) -> tuple[Quantity, ...]:
    """A percent also as mg per mL, for it is w/v as long as nobody says otherwise."""
    return (Quantity(value.to("%").value * 10, one("mg/mL").unit, (("drug", 1),)),)


_PARTS = (
    ("mass", "volume"),
    ("mass", "final_volume"),
    ("mass", "final_mass"),
    ("start_mass", "final_mass"),
    ("start_mass", "final_volume"),
    ("volume_of_part", "volume"),
    ("volume_of_part", "final_volume"),
    ("start_volume", "final_volume"),
    ("mass", "whole"),
    ("volume_of_part", "whole"),
    ("volume", "final_volume"),
)
_RULES = (
    *(Rule("state", pair, within, f"{{{pair[0]}}} in {{{pair[1]}}} = {{state}}") for pair in _PARTS),
    Rule("whole", ("mass", "diluent_mass"), plus, "{mass} + {diluent_mass} = {whole}"),
    Rule("whole", ("volume_of_part", "diluent"), plus, "{volume_of_part} + {diluent} = {whole}"),
    Rule("state", ("strength",), lambda strength: strength),
    Rule("per_mL", ("state",), lambda state: _per_mL(state), "{state} = {per_mL}"),
    Rule("hundred", ("state",), _in_hundred, "{state} = {hundred} in 100 mL"),
    Rule(
        "percent", ("hundred",), lambda mass: Quantity(mass.to("g").value, unit("%")), "{hundred} in 100 mL = {percent}"
    ),
    Rule("percent", ("state",), as_percent, "{state} = {percent}"),
    Rule("one_in", ("state",), one_gram_in, "1 g ÷ {state} = {one_in}"),
    Rule(
        "ratio_x",
        ("one_in",),
        lambda volume: as_parts(bare(volume.to("mL").value)),
        "1 g in {one_in} = 1 part in {ratio_x}",
    ),
    Rule(
        "ratio_x",
        ("state",),
        lambda share: as_parts(bare(1) / share),
        "1 ÷ {state} = {ratio_x}, so 1 part in {ratio_x}",
    ),
)


def _per_mL(state: Quantity) -> Quantity:
    if state.dimension == (("mass", 1), ("volume", -1)):
        return state.to("mg/mL")
    return state


def _tens(wanted: str) -> tuple[Slip, ...]:
    return (
        Slip(wanted, "factor 10 too much", "the point one place to the right", (wanted,), lambda value: value * 10),
        Slip(wanted, "factor 10 too little", "the point one place to the left", (wanted,), lambda value: value / 10),
    )


_SLIPS = (
    Slip(
        "per_mL",
        "percent read as mg per mL",
        "{strength_percent} % read as {strength_percent} mg per mL",
        ("strength_percent",),
        lambda percent: percent * one("mg/mL"),
    ),
    Slip("per_mL", "factor 1000", "g in 1 mL read as mg", ("per_mL",), lambda value: value / 1000),
    Slip(
        "percent",
        "mg per mL read as percent",
        "the figure kept, only the unit changed",
        ("state",),
        lambda value: bare(value.to("mg/mL").value / 100).to("%"),
    ),
    Slip("percent", "factor 1000", "mg taken for g", ("percent",), lambda value: value * 1000),
    Slip("ratio_x", "percent taken as x", "1:{strength_percent}", ("strength_percent",), as_parts),
    *_tens("percent"),
    *_tens("per_mL"),
    *_tens("ratio_x"),
)
FORMS = Family(_RULES, _SLIPS)
_PERCENT = Want("percent", "strength in percent", ("%",), ("percent",), _forms)
_PER_ML = Want("per_mL", "strength in mg per mL", ("mg/mL", "unit/mL", "mEq/mL", "mmol/mL"), ("mg/ml",))
_X = Want("ratio_x", "x of the ratio 1:x", ("part",), ("ratio",))

KINDS = (
    FORMS.kind("percent_to_mg_per_mL", "Percent to mg per mL", "the strength in mg per mL", _PER_ML),
    FORMS.kind("ratio_to_mg_per_mL", "Ratio to mg per mL", "the strength in mg per mL", _PER_ML),
    FORMS.kind("mg_per_mL", "Amount in a volume", "the strength in mg per mL", _PER_ML),
    FORMS.kind("mg_per_mL_to_percent", "mg per mL to percent", "the strength in percent", _PERCENT),
    FORMS.kind("ratio_to_percent", "Ratio to percent", "the strength in percent", _PERCENT),
    FORMS.kind("ppm_to_percent", "Parts per million to percent", "the strength in percent", _PERCENT),
    FORMS.kind("mg_to_percent", "Amount in a whole to percent", "the strength in percent", _PERCENT),
    FORMS.kind("unit_dose_percent", "A unit dose in percent", "the strength in percent", _PERCENT),
    FORMS.kind("percent_to_ratio", "Percent to ratio", "x of the ratio 1:x", _X),
    FORMS.kind("mg_to_ratio", "Amount in a whole to ratio", "x of the ratio 1:x", _X),
)
