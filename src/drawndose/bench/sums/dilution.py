"""Dilution: strength × volume before = strength × volume after, and the whole = what was taken + the diluent.

Diluting TO a volume is not adding that volume: the diluent is the whole less what was taken. By mass the same with
percent w/w and grams.
"""

from drawndose.bench.sums.dose_volume import STRENGTHS
from drawndose.bench.sums.quantity_words import (
    as_parts,
    bare,
    by_volume,
    minus,
    one_gram_in,
    other_forms,
    over,
    plus,
    ratio,
    same,
    times,
    within,
)
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity


def _with(volume: str) -> tuple[Rule, ...]:
    """The rules of dilution by volume, or by mass."""
    start, final, added = f"start_{volume}", f"final_{volume}", "diluent" if volume == "volume" else "diluent_mass"
    return (
        Rule(f"whole_{volume}", (final,), same),
        Rule(f"whole_{volume}", (start, added), plus, f"{{{start}}} + {{{added}}} = {{whole_{volume}}}"),
        Rule(
            f"whole_{volume}",
            ("carried", "final_strength"),
            over,
            f"{{carried}} ÷ {{final_strength}} = {{whole_{volume}}}",
        ),
        Rule(f"taken_{volume}", (start,), same),
        Rule(f"taken_{volume}", (final, added), minus, f"{{{final}}} − {{{added}}} = {{taken_{volume}}}"),
        Rule(f"taken_{volume}", ("wanted", "strength"), over, f"{{wanted}} ÷ {{strength}} = {{taken_{volume}}}"),
        Rule(f"taken_{volume}", ("mass", "strength"), over, f"{{mass}} ÷ {{strength}} = {{taken_{volume}}}"),
        Rule(f"taken_{volume}", ("dose", "strength"), over, f"{{dose}} ÷ {{strength}} = {{taken_{volume}}}"),
        Rule(
            f"taken_{volume}",
            (added, "final_strength", "strength"),
            _taken_for,
            f"{{{added}}} × {{final_strength}} ÷ ({{strength}} − {{final_strength}}) = {{taken_{volume}}}",
        ),
        Rule("carried", ("strength", start), times, f"{{strength}} × {{{start}}} = {{carried}}"),
        Rule("wanted", ("final_strength", final), times, f"{{final_strength}} × {{{final}}} = {{wanted}}"),
        Rule(
            f"added_{volume}",
            (f"whole_{volume}", f"taken_{volume}"),
            minus,
            f"{{whole_{volume}}} − {{taken_{volume}}} = {{added_{volume}}}",
        ),
        Rule("made", ("carried", f"whole_{volume}"), within, f"{{carried}} in {{whole_{volume}}} = {{made}}"),
        Rule("made", ("mass", final), within, f"{{mass}} in {{{final}}} = {{made}}"),
        Rule("made", ("dose", final), within, f"{{dose}} in {{{final}}} = {{made}}"),
        Rule(
            "made",
            ("dose", "strength", final),
            lambda dose, _, whole: dose / whole,
            f"{{dose}} in {{{final}}} = {{made}}",
        ),
        Rule("stock_strength", ("wanted", start), over, f"{{wanted}} in {{{start}}} = {{stock_strength}}"),
    )


def _taken_for(added: Quantity, final: Quantity, strength: Quantity) -> Quantity:
    """What to take so that a given diluent brings it to the final strength."""
    return added * ratio(final, minus(strength, final))


_RULES = (
    *_with("volume"),
    *_with("mass"),
    Rule("carried", ("mass",), same),
    Rule("carried", ("dose",), same),
    Rule("start_volume", ("volume",), same),
    Rule("taken_volume", ("volume",), same),
    Rule("one_in", ("made",), one_gram_in, "1 g ÷ {made} = {one_in}"),
    Rule(
        "final_ratio",
        ("one_in",),
        lambda volume: as_parts(bare(volume.to("mL").value)),
        "1 g in {one_in} = 1 part in {final_ratio}",
    ),
    Rule(
        "final_ratio",
        ("made",),
        lambda share: as_parts(bare(1) / share),
        "1 ÷ {made} = {final_ratio}, so 1 part in {final_ratio}",
    ),
    Rule(
        "made", ("dose", "strength", "diluent"), lambda dose, strength, diluent: dose / plus(diluent, dose / strength)
    ),
    Rule("made", ("mass", "volume", "final_volume", "start_volume"), lambda m, v, f, s: m / v * s / f),
    Rule("made", ("mass", "volume", "diluent"), lambda mass, volume, diluent: mass / plus(volume, diluent)),
    Rule(
        "part_volume",
        ("strength", "final_volume"),
        by_volume,
        "v/v: {strength} of {final_volume} = {part_volume}",
        "strength",
    ),
    *(rule for rule in STRENGTHS if rule.needs != ("mass", "final_volume")),
)


_SLIPS = (
    *(
        Slip(wanted, name, says, (wanted,), how)
        for wanted in ("taken_volume", "added_volume", "made", "whole_volume")
        for name, says, how in (
            ("factor 10 too much", "the point one place to the right", lambda value: value * 10),
            ("factor 10 too little", "the point one place to the left", lambda value: value / 10),
        )
    ),
    Slip("added_volume", "total taken as diluent", "the whole, {whole_volume}, added", ("whole_volume",), same),
    Slip("added_volume", "drug volume taken as diluent", "{taken_volume} added", ("taken_volume",), same),
    Slip("added_mass", "total taken as diluent", "the whole, {whole_mass}, added", ("whole_mass",), same),
    Slip(
        "taken_volume",
        "inverted",
        "multiplied by the stronger and divided by the weaker",
        ("final_volume", "strength", "final_strength"),
        lambda whole, strong, weak: whole * ratio(strong, weak),
    ),
    Slip(
        "taken_volume",
        "diluent measured as the drug",
        "the difference, not what is taken",
        ("final_volume", "taken_volume"),
        minus,
    ),
    Slip(
        "made",
        "total taken as diluent",
        "{final_volume} added to {start_volume}",
        ("strength", "start_volume", "final_volume"),
        lambda strength, taken, whole: strength * taken / plus(taken, whole),
    ),
    Slip(
        "whole_volume",
        "inverted",
        "multiplied by the weaker and divided by the stronger",
        ("start_volume", "strength", "final_strength"),
        lambda taken, strong, weak: taken * ratio(weak, strong),
    ),
)

DILUTIONS = Family(_RULES, _SLIPS)
_TAKEN = Want(
    "taken_volume", "volume of stock to take", ("mL",), ("stock", "take", "needed"), without=("start_volume",)
)
_TAKEN_MASS = Want("taken_mass", "mass of stock to take", ("g",), ("stock", "take"), without=("start_mass",))
_ADDED = Want("added_volume", "volume of diluent to add", ("mL",), ("diluent", "add", "water", "saline", "solvent"))
_ADDED_MASS = Want("added_mass", "mass of diluent to add", ("g",), ("diluent", "add", "water"))
_WHOLE = Want("whole_volume", "final volume", ("mL",), ("final volume", "total volume"))
_WHOLE_MASS = Want("whole_mass", "final mass", ("g",), ("final mass", "total mass"))
_NOT_FINAL = ("final_strength",)
_MADE = Want(
    "made",
    "final strength",
    ("mg/mL", "unit/mL", "mEq/mL", "mmol/mL", "%"),
    ("final strength",),
    other_forms,
    without=_NOT_FINAL,
)
_STOCK = Want(
    "stock_strength", "strength of the stock", ("mg/mL", "unit/mL", "mEq/mL", "%"), ("strength of stock",), other_forms
)

KINDS = (
    DILUTIONS.kind(
        "dilution_c1v1", "C1 × V1 = C2 × V2", "the volume of stock", _TAKEN, _TAKEN_MASS, _MADE, _WHOLE, _STOCK
    ),
    DILUTIONS.kind("diluent_volume", "How much diluent", "the volume of diluent to add", _ADDED),
    DILUTIONS.kind("diluent_mass", "How much diluent by mass", "the mass of diluent to add", _ADDED_MASS),
    DILUTIONS.kind("dilution_final_strength", "Strength after dilution", "the final strength", _MADE),
    DILUTIONS.kind(
        "dilution_final_ratio",
        "Ratio strength after dilution",
        "x of the final ratio 1:x",
        Want("final_ratio", "x of the final ratio 1:x", ("part",), without=_NOT_FINAL),
    ),
    DILUTIONS.kind("dilution_final_volume", "Volume after dilution", "the final volume", _WHOLE, _WHOLE_MASS),
    DILUTIONS.kind(
        "ratio_to_volume",
        "Volume of a ratio strength",
        "the volume of stock",
        _TAKEN,
        Want("part_volume", "volume of the liquid part (v/v)", ("mL",)),
    ),
)
