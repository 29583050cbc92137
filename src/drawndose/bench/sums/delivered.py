"""What reaches the patient of what is put in, and what else comes along with the drug."""

from drawndose.bench.sums.dose_volume import STRENGTHS
from drawndose.bench.sums.quantity_words import as_percent, over, ratio, same, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity

_DELIVERED = Family(
    (
        Rule(
            "percent",
            ("inhaled", "nominal"),
            lambda part, whole: as_percent(ratio(part, whole)),
            "{inhaled} ÷ {nominal} × 100 = {percent}",
        ),
        Rule(
            "delivered_mass", ("nominal", "delivered_share"), times, "{nominal} × {delivered_share} = {delivered_mass}"
        ),
        Rule("needed", ("inhaled", "delivered_share"), over, "{inhaled} ÷ {delivered_share} = {needed}"),
    ),
    (
        Slip(
            "percent",
            "upside down",
            "{nominal} ÷ {inhaled}",
            ("inhaled", "nominal"),
            lambda part, whole: as_percent(ratio(whole, part)),
        ),
        Slip("percent", "the part that is lost", "100 % less the answer", ("percent",), lambda value: _rest(value)),
        Slip(
            "percent", "factor 10 too much", "the point one place to the right", ("percent",), lambda value: value * 10
        ),
    ),
)


def _rest(value: Quantity) -> Quantity:
    return Quantity(100 - value.to("%").value, value.unit)


_CARRIED = Family(
    (
        Rule("needed", ("dose", "strength"), over, "{dose} ÷ {strength} = {needed}"),
        Rule("needed", ("volume",), same),
        Rule("needed", ("start_volume",), same),
        Rule("carried", ("needed", "preservative_strength"), times, "{needed} × {preservative_strength} = {carried}"),
        *(rule for rule in STRENGTHS if rule.needs != ("mass", "volume")),
    ),
    (
        Slip(
            "carried", "factor 10 too much", "the point one place to the right", ("carried",), lambda value: value * 10
        ),
        Slip(
            "carried",
            "percent read as mg per mL",
            "{preservative_strength_percent} % read as mg per mL",
            ("needed", "preservative_strength", "carried"),
            lambda needed, strength, carried: carried / 10,
        ),
        Slip(
            "carried",
            "taken of the dose",
            "{dose} × the percent",
            ("dose", "preservative_strength_percent"),
            lambda dose, percent: dose * (percent.value / 100),
        ),
    ),
)

KINDS = (
    _DELIVERED.kind(
        "delivered_percent",
        "Share of the dose that is delivered",
        "the percent of the nominal dose",
        Want("percent", "percent of the nominal dose", ("%",)),
        Want("delivered_mass", "mass that is delivered", ("mg",)),
        Want("needed", "nominal dose that it takes", ("mg",)),
    ),
    _CARRIED.kind(
        "preservative_carried",
        "Preservative that comes with the dose",
        "the mass of preservative",
        Want("carried", "mass of preservative", ("mcg", "mcg/h")),
    ),
)
