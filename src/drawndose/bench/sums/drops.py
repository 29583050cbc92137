"""Drops of one named dropper, whose drops in 1 mL (or whose drop) is stated: drops are no measure without it."""

from drawndose.bench.sums.by_weight import DOSES
from drawndose.bench.sums.quantity_words import one, over, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want

_RULES = (
    Rule("per_mL", ("drops_per_mL",), lambda per: per),
    Rule("per_mL", ("drop_volume",), lambda volume: one("drop") / volume, "1 drop in {drop_volume} = {per_mL}"),
    Rule("per_mL", ("drops", "volume"), over, "{drops} in {volume} = {per_mL}"),
    Rule("strength", ("mass", "volume"), over, "{mass} in {volume} = {strength}"),
    Rule("strength", ("mass", "final_volume"), over, "{mass} in {final_volume} = {strength}"),
    Rule("in_mL", ("drops", "per_mL"), over, "{drops} ÷ {per_mL} = {in_mL}"),
    Rule("amount", ("in_mL", "strength"), times, "{in_mL} × {strength} = {amount}"),
    Rule(
        "amount",
        ("drops", "dose_per_drop"),
        lambda drops, each: each * drops.value,
        "{drops} × {dose_per_drop} each = {amount}",
    ),
    Rule("needed", ("dose", "strength"), over, "{dose} ÷ {strength} = {needed}"),
    Rule("needed", ("volume",), lambda volume: volume),
    Rule("needed", ("start_volume",), lambda volume: volume),
    Rule("counted", ("needed", "per_mL"), times, "{needed} × {per_mL} = {counted}"),
    Rule(
        "counted",
        ("dose", "dose_per_drop"),
        lambda dose, each: one("drop") * (dose.base / each.base),
        "{dose} ÷ {dose_per_drop} = {counted}",
    ),
    Rule("counted", ("dose",), lambda dose: dose),
    Rule("one_drop", ("per_mL",), lambda per: one("drop") / per, "1 drop ÷ {per_mL} = {one_drop}"),
    Rule("in_one", ("one_drop", "strength"), times, "{one_drop} × {strength} = {in_one} in a drop"),
    Rule("in_one", ("mass", "drops"), lambda mass, drops: mass / drops.value, "{mass} ÷ {drops} = {in_one} in a drop"),
    *DOSES,
)
_SLIPS = (
    Slip(
        "counted", "factor 10 too much", "the point one place to the right", ("counted",), lambda counted: counted * 10
    ),
    Slip(
        "counted",
        "mL taken as drops",
        "{needed} read as so many drops",
        ("needed",),
        lambda needed: one("drop") * needed.to("mL").value,
    ),
    Slip(
        "amount",
        "drops taken as mL",
        "{drops} read as so many mL",
        ("drops", "strength"),
        lambda drops, strength: strength * one("mL") * drops.value,
    ),
    Slip("amount", "factor 10 too much", "the point one place to the right", ("amount",), lambda amount: amount * 10),
)


_FAMILY = Family(_RULES, _SLIPS)

KINDS = (
    _FAMILY.kind(
        "drops",
        "Drops of a named dropper",
        "drops for a dose, or the amount in drops",
        Want("amount", "amount in the drops", ("mg", "unit", "mmol", "mEq"), ("mass in", "amount in", "dose in mg")),
        Want("counted", "dose in drops", ("drop",), ("in drops", "number of drops", "drops for")),
        Want(
            "in_one",
            "amount in one drop",
            ("mg", "unit"),
            ("per drop", "each drop", "one drop"),
            lambda each: (each / one("drop"),),
        ),
        Want("in_mL", "volume of the drops", ("mL",), ("volume of the drops", "volume")),
        Want("one_drop", "volume of one drop", ("mL",), ("volume per drop", "volume of one", "volume of a drop")),
        Want("per_mL", "drops in 1 mL", ("drop/mL",), ("drops per ml",), lambda per: (per * one("mL"),)),
        Want("daily_dose", "dose in a day", (), ("in a day",)),
    ),
)
