"""Dose, strength and volume: any one of the three from the other two.

The strength may come as percent, ratio, amount in a volume, what a vial holds, or the step that makes it; the dose may
come by weight. Amount = strength × volume; a percent w/v is g in 100 mL, a ratio 1:n is 1 g in n mL.
"""

from drawndose.bench.sums.by_weight import DOSES
from drawndose.bench.sums.quantity_words import by_volume, one, over, plus, ratio, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity

STRENGTHS = (
    Rule("strength", ("mass", "volume"), over, "{mass} in {volume} = {strength}"),
    Rule("strength", ("mass", "final_volume"), over, "{mass} in {final_volume} = {strength}"),
    Rule("strength", ("mass", "step_volume"), over, "{mass} in {step_volume} = {strength}"),
    Rule("step_volume", ("diluent", "powder_volume"), plus, "{diluent} + {powder_volume} of powder = {step_volume}"),
    Rule("strength", ("step",), lambda step: step),
)
"""A strength from what a container holds."""

_VOLUME_RULES = (
    Rule("needed", ("dose", "strength"), over, "{dose} ÷ {strength} = {needed}"),
    Rule("share", ("dose", "mass"), ratio, "{dose} ÷ {mass} = {share}"),
    *STRENGTHS,
    *DOSES,
)

ML = one("mL")
SLIPS = (
    Slip(
        "needed", "inverted", "the strength divided by the dose", ("needed",), lambda needed: ML * ML / needed.to("mL")
    ),
    Slip("needed", "factor 10 too much", "the point one place to the right", ("needed",), lambda needed: needed * 10),
    Slip("needed", "factor 10 too little", "the point one place to the left", ("needed",), lambda needed: needed / 10),
    Slip(
        "needed",
        "factor 1000",
        "mcg and mg, or mg and g, taken for one another",
        ("dose", "strength"),
        lambda dose, strength: _units_ignored(dose, strength),
    ),
    Slip(
        "needed",
        "percent read as mg per mL",
        "{strength_percent} % read as {strength_percent} mg per mL",
        ("dose", "strength_percent"),
        lambda dose, percent: dose / (percent * one("mg/mL")),
    ),
    Slip(
        "needed",
        "ratio read as mg in mL",
        "1:{strength_parts} read as 1 mg in {strength_parts} mL",
        ("dose", "strength_parts"),
        lambda dose, parts: dose / (one("mg/mL") / parts),
    ),
    Slip("needed", "dose given as volume", "{dose} measured as so many mL", ("dose",), lambda dose: ML * dose.value),
)


def _units_ignored(dose: Quantity, strength: Quantity) -> Quantity:
    """The figures divided although the units differ; ValueError where they do not."""
    if dose.unit.parts[0] == strength.unit.parts[0]:
        raise ValueError("the units are the same, so nobody mistakes them")
    return ML * (dose.value / strength.value)


def _upside_down(found: Quantity, volume: Quantity) -> Quantity:
    """The volume's figure divided by the strength's, in the unit of the amount."""
    return found * (volume.to("mL").value / found.value) ** 2


VOLUMES = Family(_VOLUME_RULES, SLIPS)
_VOLUME = Want("needed", "volume that holds the dose", ("mL",))

_AMOUNT_RULES = (
    *(
        Rule("found", (strength, whole), times, f"{{{strength}}} × {{{whole}}} = {{found}}")
        for strength in ("strength", "final_strength")
        for whole in ("start_volume", "volume", "final_volume", "start_mass", "final_mass")
    ),
    Rule("strength", ("step",), lambda step: step),
    Rule("found", ("in_vial", "start_volume"), times, "{in_vial} × {start_volume} = {found}"),
    Rule("found", ("in_whole", "start_volume"), times, "{in_whole} × {start_volume} = {found}"),
    Rule("found", ("in_whole", "volume"), times, "{in_whole} × {volume} = {found}"),
    Rule("in_vial", ("mass", "volume"), over, "{mass} in {volume} = {in_vial}"),
    Rule("in_whole", ("mass", "final_volume"), over, "{mass} in {final_volume} = {in_whole}"),
    Rule("in_whole", ("mass", "step_volume"), over, "{mass} in {step_volume} = {in_whole}"),
    Rule("step_volume", ("diluent", "powder_volume"), plus, "{diluent} + {powder_volume} of powder = {step_volume}"),
)
_PART_RULES = tuple(
    Rule("part_volume", (strength, whole), by_volume, f"v/v: {{{strength}}} of {{{whole}}} = {{part_volume}}", strength)
    for strength in ("strength", "final_strength")
    for whole in ("volume", "final_volume")
)
PART = Want(
    "part_volume",
    "volume of the liquid part (v/v)",
    ("mL",),
    ("volume of solute", "volume of the part"),
    only_asked=True,
)
"""A bare percent or ratio of a liquid is v/v only where the question asks for a volume."""
_AMOUNT_SLIPS = (
    Slip("found", "factor 10 too much", "the point one place to the right", ("found",), lambda found: found * 10),
    Slip("found", "factor 10 too little", "the point one place to the left", ("found",), lambda found: found / 10),
    Slip("found", "factor 1000", "mg taken for mcg, or g for mg", ("found",), lambda found: found * 1000),
    *(
        Slip(
            "found",
            "percent read as mg per mL",
            "{strength_percent} % read as {strength_percent} mg per mL",
            (volume, "strength_percent"),
            lambda volume, percent: volume * (percent * one("mg/mL")),
        )
        for volume in ("volume", "start_volume", "final_volume")
    ),
    *(
        Slip(
            "found",
            "inverted",
            "the volume divided by the strength",
            ("found", volume),
            _upside_down,
        )
        for volume in ("volume", "start_volume", "final_volume")
    ),
)
AMOUNTS = Family((*_AMOUNT_RULES, *_PART_RULES), _AMOUNT_SLIPS)
_FOUND = Want("found", "amount of drug in the volume", ())

_MADE_RULES = (
    Rule("made", ("mass", "strength"), over, "{mass} ÷ {strength} = {made}"),
    Rule("made", ("mass", "final_strength"), over, "{mass} ÷ {final_strength} = {made}"),
    Rule("made", ("dose", "strength"), over, "{dose} ÷ {strength} = {made}"),
    Rule("made", ("volume_of_part", "strength"), over, "{volume_of_part} ÷ {strength} = {made}"),
    Rule("made", ("start_mass", "strength"), over, "{start_mass} ÷ {strength} = {made}"),
)
_MADE_SLIPS = (
    Slip("made", "factor 10 too much", "the point one place to the right", ("made",), lambda made: made * 10),
    Slip("made", "factor 10 too little", "the point one place to the left", ("made",), lambda made: made / 10),
    Slip(
        "made",
        "percent read as mg per mL",
        "{strength_percent} % read as {strength_percent} mg per mL",
        ("mass", "strength_percent"),
        lambda mass, percent: mass / (percent * one("mg/mL")),
    ),
)

KINDS = (
    VOLUMES.kind("dose_to_volume", "Dose to volume", "the volume that holds the dose", _VOLUME),
    VOLUMES.kind("units_to_volume", "Units to volume", "the volume that holds the dose", _VOLUME),
    VOLUMES.kind("two_step_mcg_mg", "Micrograms out of mg per mL", "the volume that holds the dose", _VOLUME),
    VOLUMES.kind("two_step_mcg_percent", "Micrograms out of a percent", "the volume that holds the dose", _VOLUME),
    VOLUMES.kind("two_step_mcg_ratio", "Micrograms out of a ratio", "the volume that holds the dose", _VOLUME),
    VOLUMES.kind(
        "reconstitution_dose_volume", "Dose out of a made-up powder", "the volume that holds the dose", _VOLUME
    ),
    VOLUMES.kind(
        "partial_unit_dose",
        "Part of a unit dose",
        "the volume of the unit dose to use",
        _VOLUME,
        Want("share", "part of the unit dose", ("%",), ("share", "fraction", "percent")),
    ),
    AMOUNTS.kind("volume_to_mass", "Volume to amount", "the amount of drug in the volume", _FOUND, PART),
    AMOUNTS.kind("ratio_to_mass", "Ratio strength to amount", "the amount of drug in the volume", _FOUND, PART),
    AMOUNTS.kind("mass_for_percent_solution", "Amount for a solution", "the amount of solute", _FOUND, PART),
    Family(_MADE_RULES, _MADE_SLIPS).kind(
        "mass_to_volume",
        "How much an amount makes",
        "the volume that can be made",
        Want("made", "what can be made", ("mL", "g")),
    ),
)
