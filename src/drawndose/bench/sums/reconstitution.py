"""Making up a powder: the powder takes up room, so the final volume is the diluent plus the powder's own volume.

The powder volume is stated (0 mL where the label says so); it is never taken for nothing because nobody mentioned it.
"""

from drawndose.bench.sums.quantity_words import minus, other_forms, over, plus, same, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want

_RULES = (
    Rule("whole", ("final_volume",), same),
    Rule("whole", ("volume",), same),
    Rule("whole", ("diluent", "powder_volume"), plus, "{diluent} + {powder_volume} of powder = {whole}"),
    Rule("whole", ("amount", "strength"), over, "{amount} ÷ {strength} = {whole}"),
    Rule("whole", ("amount", "final_strength"), over, "{amount} ÷ {final_strength} = {whole}"),
    Rule("amount", ("mass",), same),
    Rule("amount", ("units",), same),
    Rule("amount", ("dose",), same),
    Rule("powder", ("whole", "diluent"), minus, "{whole} − {diluent} = {powder} of powder"),
    Rule("to_add", ("whole", "powder_volume"), minus, "{whole} − {powder_volume} of powder = {to_add}"),
    Rule("made", ("amount", "whole"), over, "{amount} in {whole} = {made}"),
    Rule("held", ("strength", "whole"), times, "{strength} × {whole} = {held}"),
)
_SLIPS = (
    Slip("made", "powder volume left out", "{amount} in {diluent}", ("amount", "diluent"), over),
    Slip("made", "factor 10 too much", "the point one place to the right", ("made",), lambda made: made * 10),
    Slip("made", "factor 10 too little", "the point one place to the left", ("made",), lambda made: made / 10),
    Slip("to_add", "total taken as diluent", "{whole} added", ("whole",), same),
    Slip("whole", "powder volume left out", "the diluent alone", ("diluent",), same),
    Slip("whole", "factor 10 too much", "the point one place to the right", ("whole",), lambda whole: whole * 10),
    Slip("powder", "diluent taken as powder", "{diluent}", ("diluent",), same),
)
_FAMILY = Family(_RULES, _SLIPS)
_WHOLE = Want("whole", "volume after reconstitution", ("mL",), ("final volume", "volume after", "total volume"))
_TO_ADD = Want("to_add", "diluent to add", ("mL",), ("diluent", "to add"))
_POWDER = Want("powder", "volume of the powder", ("mL",), ("powder volume", "displacement"))
_MADE = Want(
    "made",
    "strength",
    ("mg/mL", "unit/mL", "mEq/mL", "mmol/mL"),
    ("strength",),
    other_forms,
    without=("strength", "final_strength"),
)

KINDS = (
    _FAMILY.kind("powder_displacement", "Volume of a powder", "the volume that the powder takes up", _POWDER),
    _FAMILY.kind("reconstitution_strength", "Strength of a made-up powder", "the strength", _MADE),
    _FAMILY.kind(
        "reconstitution_volume",
        "Volume of a made-up powder",
        "the volume after reconstitution, or the diluent to add",
        _WHOLE,
        _TO_ADD,
    ),
)
