"""Alligation: mixing a stronger and a weaker to a strength between; and what several lots come to together.

Parts of the stronger = final − weaker; parts of the weaker = stronger − final. A base or a diluent is 0 %.
"""

from drawndose.bench.sums.quantity_words import as_parts, minus, over, plus, ratio, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity, unit


def _parts(more: Quantity, less: Quantity) -> Quantity:
    """The difference of two strengths as so many parts: percents by their figures, amounts in a volume by theirs."""
    left = minus(more, less)
    return Quantity(left.value, unit("part"))


def _amounts(kind: str) -> tuple[Rule, ...]:
    strong, weak, final = f"strong_{kind}", f"weak_{kind}", f"final_{kind}"
    return (
        Rule(f"need_{strong}", (final, "strong_share"), times, f"{{{final}}} × {{strong_share}} = {{need_{strong}}}"),
        Rule(f"need_{weak}", (final, f"need_{strong}"), minus, f"{{{final}}} − {{need_{strong}}} = {{need_{weak}}}"),
        Rule(
            f"need_{weak}", (strong, "weak_per_strong"), times, f"{{{strong}}} × {{weak_per_strong}} = {{need_{weak}}}"
        ),
        Rule(
            f"need_{strong}", (weak, "strong_per_weak"), times, f"{{{weak}}} × {{strong_per_weak}} = {{need_{strong}}}"
        ),
        Rule(f"need_{final}", (strong, f"need_{weak}"), plus, f"{{{strong}}} + {{need_{weak}}} = {{need_{final}}}"),
        Rule(f"need_{final}", (weak, f"need_{strong}"), plus, f"{{{weak}}} + {{need_{strong}}} = {{need_{final}}}"),
    )


_RULES = (
    *_amounts("mass"),
    *_amounts("volume"),
    Rule(
        "strong_parts",
        ("final_strength", "weak"),
        _parts,
        "parts of the stronger: {final_strength} − {weak} = {strong_parts}",
    ),
    Rule(
        "weak_parts",
        ("strong", "final_strength"),
        _parts,
        "parts of the weaker: {strong} − {final_strength} = {weak_parts}",
    ),
    Rule(
        "all_parts", ("strong_parts", "weak_parts"), plus, "parts in all: {strong_parts} + {weak_parts} = {all_parts}"
    ),
    Rule(
        "strong_share",
        ("strong_parts", "all_parts"),
        ratio,
        "share of the stronger: {strong_parts} ÷ {all_parts} = {strong_share}",
    ),
    Rule(
        "weak_per_strong",
        ("weak_parts", "strong_parts"),
        ratio,
        "{weak_parts} ÷ {strong_parts} = {weak_per_strong} of the weaker for 1 of the stronger",
    ),
    Rule(
        "strong_per_weak",
        ("strong_parts", "weak_parts"),
        ratio,
        "{strong_parts} ÷ {weak_parts} = {strong_per_weak} of the stronger for 1 of the weaker",
    ),
    Rule("strong_for_one", ("strong_per_weak",), as_parts),
    Rule("weak_for_one", ("weak_per_strong",), as_parts),
    Rule("strong", ("strength",), lambda strength: strength),
)

_SLIPS = tuple(
    slip
    for kind in ("mass", "volume")
    for slip in (
        Slip(
            f"need_weak_{kind}",
            "parts the wrong way round",
            "the stronger's parts taken of the weaker",
            (f"final_{kind}", "strong_share"),
            times,
        ),
        Slip(
            f"need_strong_{kind}",
            "parts the wrong way round",
            "the weaker's parts taken of the stronger",
            (f"final_{kind}", f"need_strong_{kind}"),
            minus,
        ),
        Slip(
            f"need_weak_{kind}",
            "parts the wrong way round",
            "divided by {weak_per_strong}",
            (f"strong_{kind}", "weak_per_strong"),
            over,
        ),
    )
)
_RATIO_SLIPS = (
    Slip(
        "strong_for_one",
        "parts the wrong way round",
        "the weaker for 1 of the stronger",
        ("weak_parts", "strong_parts"),
        lambda weak, strong: as_parts(ratio(weak, strong)),
    ),
)

_FAMILY = Family(_RULES, (*_SLIPS, *_RATIO_SLIPS))
_WEAK_WORDS = ("base", "weak", "diluent", "water", "lower", "ointment base", "petrolatum", "vehicle", "{weak}")
_STRONG_WORDS = ("strong", "higher", "stock", "concentrate", "{strong}", "{strength}")
_WANTS = (
    Want("need_weak_mass", "mass of the weaker (base or diluent)", ("g",), _WEAK_WORDS),
    Want("need_weak_volume", "volume of the weaker (diluent)", ("mL",), _WEAK_WORDS),
    Want("need_strong_mass", "mass of the stronger", ("g",), _STRONG_WORDS),
    Want("need_strong_volume", "volume of the stronger", ("mL",), _STRONG_WORDS),
    Want("need_final_mass", "mass of the mixture", ("g",), ("final", "total", "mixture")),
    Want("need_final_volume", "volume of the mixture", ("mL",), ("final", "total", "mixture")),
)
_PARTS = (
    Want("strong_for_one", "parts of the stronger for 1 part of the weaker", ("part",), _STRONG_WORDS),
    Want("weak_for_one", "parts of the weaker for 1 part of the stronger", ("part",), _WEAK_WORDS),
)

KINDS = (
    _FAMILY.kind("alligation", "Alligation", "the mass or volume of each of two to mix", *_WANTS, *_PARTS),
    _FAMILY.kind(
        "alligation_mass",
        "Alligation from a given amount",
        "the mass or volume of the other to mix in",
        *_WANTS,
        *_PARTS,
    ),
    _FAMILY.kind("alligation_ratio", "Alligation in parts", "parts of the stronger for 1 part of the weaker", *_PARTS),
)
