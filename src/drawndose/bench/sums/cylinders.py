"""Oxygen cylinders: contents = (pressure − reserve) × litres for each psi; duration = contents ÷ flow.

The litres for each psi (the size's factor) are the contents of a full cylinder ÷ its pressure. Which figure a service
uses for a size differs between texts, so it is always an input.
"""

from drawndose.bench.sums.quantity_words import bare, minus, one, over, plus, ratio, same, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want
from drawndose.quantities import Quantity


def _hours(duration: Quantity) -> Quantity:
    """The whole hours in it."""
    hours = duration.to("h").value
    return bare(hours.numerator // hours.denominator) * one("h")


_GAS = (
    Rule("per_psi", ("factor",), same),
    Rule("per_psi", ("flow_factor",), lambda factor: factor * one("L/psi")),
    Rule("per_psi", ("full", "full_pressure"), over, "{full} ÷ {full_pressure} = {per_psi}"),
    Rule("per_psi", ("water_volume",), lambda volume: volume / one("bar"), "{water_volume} of gas for each bar"),
    Rule("full", ("full_volume",), same),
    Rule("full", ("cubic_feet", "litres_per_cubic_foot"), times, "{cubic_feet} × {litres_per_cubic_foot} = {full}"),
    Rule("usable", ("pressure",), same),
    Rule("usable", ("pressure", "reserve"), minus, "{pressure} − {reserve} = {usable}"),
    Rule("gas", ("usable", "per_psi"), times, "{usable} × {per_psi} = {gas}"),
    Rule("gas", ("full",), same),
    Rule("gas", ("contents",), same),
    Rule("gas", ("total",), same),
    Rule("gas", ("volume",), same),
)
_RULES = (
    *_GAS,
    Rule("lasts", ("gas", "flow"), over, "{gas} ÷ {flow} = {lasts}"),
    Rule("used", ("flow", "time"), times, "{flow} × {time} = {used}"),
    Rule("used", ("flow", "duration"), times, "{flow} × {duration} = {used}"),
    Rule("drop", ("used", "per_psi"), over, "{used} ÷ {per_psi} = {drop}"),
    Rule("least", ("drop",), same),
    Rule("least", ("drop", "reserve"), plus, "{drop} + {reserve} = {least}"),
    Rule("minutes", ("duration", "hours"), minus, "{duration} − {hours} = {minutes}"),
    Rule("hours", ("duration",), _hours, "{hours} are whole hours"),
    # liquid oxygen
    Rule("litres", ("liquid_volume",), same),
    Rule("litres", ("volume",), same),
    Rule("litres", ("liquid_mass", "lb_per_litre"), over, "{liquid_mass} ÷ {lb_per_litre} = {litres} of liquid"),
    Rule("liquid_mass", ("mass",), same),
    Rule("liquid_gas", ("litres", "expansion"), times, "{litres} × {expansion} = {liquid_gas} of gas"),
    Rule("liquid_gas", ("liquid_mass", "gas_per_lb"), times, "{liquid_mass} × {gas_per_lb} = {liquid_gas} of gas"),
    Rule("liquid_lasts", ("liquid_gas", "flow"), over, "{liquid_gas} ÷ {flow} = {liquid_lasts}"),
    Rule(
        "liquid_days",
        ("liquid_lasts", "hours_per_day"),
        lambda time, use: one("day") * ratio(time, use).value,
        "{liquid_lasts} ÷ {hours_per_day} a day = {liquid_days}",
    ),
    Rule("liquid_days", ("liquid_lasts",), same),
)
_SLIPS = (
    Slip(
        "gas",
        "reserve left out",
        "{pressure} all used",
        ("pressure", "reserve", "per_psi"),
        lambda pressure, _, per: pressure * per,
    ),
    Slip(
        "lasts",
        "reserve left out",
        "{pressure} all used",
        ("pressure", "reserve", "per_psi", "flow"),
        lambda pressure, _, per, flow: pressure * per / flow,
    ),
    Slip("lasts", "minutes taken for hours", "a factor of 60", ("lasts",), lambda lasts: lasts * 60),
    Slip(
        "lasts",
        "divided by the factor",
        "{usable} ÷ {per_psi}",
        ("usable", "per_psi", "flow"),
        lambda usable, per, flow: one("min") * (usable.value / per.value / flow.value),
    ),
    Slip("least", "reserve left out", "{drop}", ("drop",), same),
    Slip(
        "minutes",
        "tenths of an hour read as minutes",
        "the decimal of the hours × 100",
        ("duration", "hours"),
        lambda duration, hours: minus(duration, hours) / 60 * 100,
    ),
    Slip(
        "liquid_days",
        "the whole day",
        "{hours_per_day} a day left out",
        ("liquid_lasts", "hours_per_day"),
        lambda lasts, _: lasts,
    ),
)
_FAMILY = Family(_RULES, _SLIPS)

KINDS = (
    _FAMILY.kind(
        "cylinder_contents",
        "Gas in a cylinder",
        "the usable volume",
        Want("gas", "usable volume", ("L",)),
        Want("per_psi", "litres for each unit of pressure", ("L/psi", "L/bar"), ("factor",)),
    ),
    _FAMILY.kind(
        "cylinder_duration",
        "Duration of a cylinder",
        "how long it lasts",
        Want("lasts", "duration", ("min",), ("duration",), lambda lasts: (lasts.to("h"),)),
        Want("minutes", "minutes left over after the whole hours", ("min",), ("minutes left",)),
        Want("hours", "whole hours", ("h",), ("whole hours", "hours")),
    ),
    _FAMILY.kind(
        "cylinder_minimum_pressure",
        "Least pressure for a transport",
        "the minimum pressure",
        Want("least", "minimum pressure", ("psi", "bar")),
    ),
    _FAMILY.kind(
        "liquid_oxygen_days",
        "Days of liquid oxygen",
        "the days it lasts",
        Want("liquid_days", "days", ("day",), ("days",), lambda days: (days.to("h"),)),
        Want("liquid_lasts", "hours", ("h",), ("hours",)),
        Want("liquid_gas", "gas", ("L",), ("gas",)),
    ),
)
