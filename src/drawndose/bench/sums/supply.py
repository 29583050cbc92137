"""How long or how far a supply lasts: doses in it, days of it, and how much a course needs.

The exact quotient is given; a part of a dose or of a day cannot be used, so a person rounds down.
"""

from drawndose.bench.sums.by_weight import WEIGHTS
from drawndose.bench.sums.quantity_words import bare, one, over, plus, ratio, same, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity

_RULES = (
    Rule("all", ("total",), same),
    Rule("all", ("volume",), same),
    Rule("all", ("mass",), same),
    Rule("all", ("final_volume",), same),
    Rule("all_drops", ("all", "drops_per_mL"), times, "{all} × {drops_per_mL} = {all_drops}"),
    Rule("all_amount", ("all", "strength"), times, "{all} × {strength} = {all_amount}"),
    Rule("each", ("dose",), same),
    Rule("each", ("dose_per_kg", "weight"), times, "{dose_per_kg} × {weight} = {each}"),
    Rule("each", ("drops",), same),
    Rule("each_volume", ("each", "strength"), over, "{each} ÷ {strength} = {each_volume}"),
    *WEIGHTS,
    Rule("day", ("per_day",), same),
    Rule(
        "day",
        ("each", "doses_per_day"),
        lambda each, doses: each * doses.value,
        "{each} × {doses_per_day} = {day} in a day",
    ),
    Rule(
        "day",
        ("daily_per_kg", "weight"),
        lambda rate, weight: rate * weight * one("day"),
        "{daily_per_kg} × {weight} = {day} in a day",
    ),
    Rule("day", ("rate",), lambda rate: rate * one("day")),
    Rule("day_volume", ("day", "strength"), over, "{day} ÷ {strength} = {day_volume} in a day"),
    Rule(
        "doses_per_day",
        ("interval",),
        lambda gap: one("dose") * (24 / gap.to("h").value),
        "24 h ÷ {interval} = {doses_per_day} in a day",
    ),
    # how many doses
    Rule(
        "doses_in",
        ("all", "each"),
        lambda whole, each: one("dose") * ratio(whole, each).value,
        "{all} ÷ {each} = {doses_in}",
    ),
    Rule(
        "doses_in",
        ("all", "each_volume"),
        lambda whole, each: one("dose") * ratio(whole, each).value,
        "{all} ÷ {each_volume} = {doses_in}",
    ),
    Rule(
        "doses_in",
        ("all_drops", "each"),
        lambda whole, each: one("dose") * ratio(whole, each).value,
        "{all_drops} ÷ {each} = {doses_in}",
    ),
    Rule(
        "doses_in",
        ("doses_per_day", "days"),
        lambda doses, days: doses * days.value,
        "{doses_per_day} a day × {days} = {doses_in}",
    ),
    Rule(
        "doses_in",
        ("per_day", "days"),
        lambda each, days: (
            one("dose") * (each.value * days.value) if each.dimension == (("doses", 1),) else each * days.value
        ),
        "{per_day} a day × {days} = {doses_in}",
    ),
    Rule(
        "packs",
        ("needed", "total"),
        lambda needed, total: one("dose") * ratio(needed, total).value,
        "{needed} ÷ {total} = {packs}",
    ),
    # how many days
    Rule(
        "days_in",
        ("all", "day"),
        lambda whole, day: one("day") * ratio(whole, day).value,
        "{all} ÷ {day} a day = {days_in}",
    ),
    Rule(
        "days_in",
        ("all", "day_volume"),
        lambda whole, day: one("day") * ratio(whole, day).value,
        "{all} ÷ {day_volume} a day = {days_in}",
    ),
    Rule(
        "days_in",
        ("all_drops", "day"),
        lambda whole, day: one("day") * ratio(whole, day).value,
        "{all_drops} ÷ {day} a day = {days_in}",
    ),
    Rule(
        "days_in",
        ("doses", "doses_per_day"),
        lambda doses, each: one("day") * (doses.value / each.value),
        "{doses} ÷ {doses_per_day} a day = {days_in}",
    ),
    # how much is needed
    Rule("needed", ("day", "days"), lambda day, days: day * days.value, "{day} a day × {days} = {needed}"),
    Rule(
        "needed", ("day_volume", "days"), lambda day, days: day * days.value, "{day_volume} a day × {days} = {needed}"
    ),
    Rule("needed", ("each", "doses"), lambda each, doses: each * doses.value, "{each} × {doses} = {needed}"),
    Rule(
        "needed", ("each_volume", "doses"), lambda each, doses: each * doses.value, "{each_volume} × {doses} = {needed}"
    ),
    Rule("size", ("total", "doses"), lambda total, doses: total / doses.value, "{total} ÷ {doses} = {size} each"),
)


def _down(value: Quantity) -> Quantity:
    """The whole doses or days in it."""
    return bare(value.value.numerator // value.value.denominator) * one(str(value.unit))


_SLIPS = (
    Slip(
        "days_in",
        "rounded up",
        "a part of a day counted as a whole one",
        ("days_in",),
        lambda days: plus(_down(days), one("day")),
    ),
    Slip(
        "days_in",
        "one dose a day",
        "{doses_per_day} a day left out",
        ("days_in", "doses_per_day"),
        lambda days, doses: days * doses.value,
    ),
    Slip(
        "doses_in",
        "rounded up",
        "a part of a dose counted as a whole one",
        ("doses_in",),
        lambda doses: plus(_down(doses), one("dose")),
    ),
    Slip("doses_in", "factor 10 too much", "the point one place to the right", ("doses_in",), lambda doses: doses * 10),
    Slip(
        "needed",
        "one dose a day",
        "{doses_per_day} a day left out",
        ("needed", "doses_per_day"),
        lambda needed, doses: needed / doses.value,
    ),
    Slip("needed", "one day", "{days} left out", ("needed", "days"), lambda needed, days: needed / days.value),
)
_FAMILY = Family(_RULES, _SLIPS)
_COUNT = Want("doses_in", "number of doses", ("dose", "puff", "container", "drop"), ("number of doses", "doses"))
_SIZE = Want("size", "size of each dose", (), ("size", "each dose"))
_DAYS = Want("days_in", "days it lasts", ("day",), ("days",))
_NEEDED = Want("needed", "amount for the course", (), ("volume", "amount", "total"))

KINDS = (
    _FAMILY.kind(
        "supply_count",
        "Doses in a supply",
        "the number of doses",
        _COUNT,
        _SIZE,
        _NEEDED,
        Want("packs", "number of packs", ("dose",), ("packs", "bottles", "vials")),
    ),
    _FAMILY.kind("supply_days", "Days of a supply", "the days it lasts", _DAYS),
    _FAMILY.kind(
        "supply_volume",
        "Volume for a course",
        "the amount for the course",
        _NEEDED,
        Want("packs", "number of packs", ("dose",), ("packs", "bottles", "vials")),
    ),
)
