"""Doses by weight: so much for each kg, in a day or each time, with a smallest and a largest dose.

A pound is converted by the figure that the question states (2.2 is itself a rounding), never by one that we choose.
"""

from drawndose.bench.sums.quantity_words import least, most, one, over, same, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity


def _in_a_day(rate: Quantity) -> Quantity:
    """What a rate comes to in one day."""
    return rate * one("day")


def _each(daily: Quantity, doses: Quantity) -> Quantity:
    return daily / doses * one("dose")


WEIGHTS = (
    Rule("weight", ("weight_lb", "lb_per_kg"), over, "{weight_lb} ÷ {lb_per_kg} = {weight}"),
    Rule("weight", ("weight_lb", "kg_per_lb"), times, "{weight_lb} × {kg_per_lb} = {weight}"),
)

DOSES = (
    Rule("dose", ("each",), same),
    Rule("dose", ("each", "minimum"), most, "not less than {minimum}: {dose}"),
    Rule("dose", ("each", "maximum"), least, "not more than {maximum}: {dose}"),
    Rule("dose", ("between", "minimum"), most, "not less than {minimum}: {dose}"),
    Rule("between", ("each", "maximum"), least, "not more than {maximum}: {between}"),
    Rule("each", ("dose_per_kg", "weight"), times, "{dose_per_kg} × {weight} = {each}"),
    Rule("each", ("daily_dose", "doses_per_day"), _each, "{daily_dose} in a day ÷ {doses_per_day} = {each} each time"),
    Rule("daily_dose", ("daily_by_weight",), same),
    Rule(
        "daily_dose",
        ("daily_by_weight", "most_in_a_day"),
        least,
        "not more than {most_in_a_day} in a day: {daily_dose}",
    ),
    Rule("most_in_a_day", ("daily_maximum",), _in_a_day),
    Rule(
        "daily_by_weight",
        ("daily_per_kg", "weight"),
        lambda rate, weight: _in_a_day(rate * weight),
        "{daily_per_kg} × {weight} = {daily_by_weight} in a day",
    ),
    Rule("daily_by_weight", ("rate",), _in_a_day, "{rate} = {daily_by_weight} in a day"),
    Rule(
        "daily_by_weight",
        ("dose_per_kg", "weight", "doses_per_day"),
        lambda rate, weight, doses: rate * weight * doses.value,
    ),
    Rule(
        "doses_per_day",
        ("interval",),
        lambda gap: one("dose") * (24 / gap.to("h").value),
        "24 h ÷ {interval} = {doses_per_day} in a day",
    ),
    *WEIGHTS,
)
"""Rules that lead to `dose`."""

_SLIPS = tuple(
    slip
    for wanted, unit_free in (("dose", True), ("needed", False))
    for slip in (
        Slip(wanted, "factor 10 too much", "the point one place to the right", (wanted,), lambda value: value * 10),
        Slip(wanted, "factor 10 too little", "the point one place to the left", (wanted,), lambda value: value / 10),
        Slip(
            wanted,
            "pounds taken for kg",
            "{weight_lb} taken for as many kg",
            (wanted, "weight_lb", "weight"),
            lambda value, pounds, weight: value * (pounds.value / weight.value),
        ),
        Slip(
            wanted,
            "the day's dose each time",
            "not divided by {doses_per_day}",
            (wanted, "doses_per_day"),
            lambda value, doses: value * doses.value,
        ),
        *(
            (
                Slip(
                    wanted,
                    "weight left out",
                    "as if the dose were not for each kg",
                    ("dose_per_kg",),
                    lambda rate: rate * one("kg"),
                ),
            )
            if unit_free
            else ()
        ),
        *((Slip(wanted, "limit left out", "the calculated dose, {each}", ("each",), same),) if unit_free else ()),
    )
)

_VOLUMES = (
    Rule("needed", ("dose", "strength"), over, "{dose} ÷ {strength} = {needed}"),
    Rule("needed", ("dose",), same),
    Rule("strength", ("mass", "volume"), over, "{mass} in {volume} = {strength}"),
    Rule("strength", ("mass", "final_volume"), over, "{mass} in {final_volume} = {strength}"),
    *DOSES,
)
_DOSES = Family(
    (*DOSES, Rule("rate_found", ("rate_per_kg", "weight"), times, "{rate_per_kg} × {weight} = {rate_found}")), _SLIPS
)
_BOTH = Family(_VOLUMES, _SLIPS)
_DOSE = Want("dose", "dose", (), ("each", "per dose", "single"))
_DAILY = Want(
    "daily_dose", "dose in a day", (), ("daily", "per day", "a day", "24 h"), lambda value: (value / one("day"),)
)
_VOLUME = Want("needed", "volume for the dose", ("mL",), ("volume",))

_HOURLY = Family(
    (
        Rule("hourly", ("rate_per_kg", "weight"), times, "{rate_per_kg} × {weight} = {hourly}"),
        Rule("hourly", ("daily_per_kg", "weight"), times, "{daily_per_kg} × {weight} = {hourly}"),
        Rule("hourly", ("rate",), same, "{rate} = {hourly}"),
        Rule("hourly", ("pump_rate", "strength"), times, "{pump_rate} × {strength} = {hourly}"),
        Rule("hourly", ("dose", "time"), over, "{dose} ÷ {time} = {hourly}"),
        Rule("strength", ("mass", "volume"), over, "{mass} in {volume} = {strength}"),
        Rule("strength", ("mass", "final_volume"), over, "{mass} in {final_volume} = {strength}"),
        *WEIGHTS,
    ),
    (
        Slip(
            "hourly",
            "weight left out",
            "as if the dose were not for each kg",
            ("rate_per_kg",),
            lambda rate: rate * one("kg"),
        ),
        Slip("hourly", "factor 60", "minutes taken for hours", ("hourly",), lambda value: value * 60),
    ),
)

KINDS = (
    _DOSES.kind("weight_based_dose", "Dose by weight", "the dose", _DOSE, _DAILY, Want("rate_found", "dose in a time")),
    _BOTH.kind(
        "weight_based_max",
        "Dose by weight up to a largest dose",
        "the dose or the volume after the maximum",
        _VOLUME,
        _DOSE,
        _DAILY,
    ),
    _BOTH.kind(
        "weight_based_min",
        "Dose by weight with a smallest dose",
        "the dose or the volume after the minimum",
        _DOSE,
        _VOLUME,
        _DAILY,
    ),
    _BOTH.kind("weight_based_volume", "Volume by weight", "the volume of each dose", _VOLUME),
    _HOURLY.kind(
        "continuous_mg_per_h",
        "Continuous nebulization, amount in an hour",
        "the hourly dose",
        Want("hourly", "hourly dose", ("mg/h", "unit/h", "mEq/h")),
    ),
)
