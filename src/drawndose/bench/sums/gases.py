"""Mixing air with oxygen, and the true flow of a light gas through a meter made for oxygen.

Oxygen in the mixture = oxygen + the oxygen that is in the air; the fraction of it in air is stated (0.21, 0.209).
"""

from drawndose.bench.sums.quantity_words import as_parts, as_percent, bare, minus, over, plus, ratio, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want

_RULES = (
    Rule("whole", ("air", "oxygen"), plus, "{air} + {oxygen} = {whole}"),
    Rule("whole", ("total_flow",), lambda flow: flow),
    Rule("pure", ("oxygen",), lambda flow: flow),
    Rule("pure", ("total_flow", "air"), minus, "{total_flow} − {air} = {pure}"),
    Rule("entrained", ("air",), lambda flow: flow),
    Rule("entrained", ("total_flow", "oxygen"), minus, "{total_flow} − {oxygen} = {entrained}"),
    Rule(
        "from_air",
        ("entrained", "air_fraction"),
        times,
        "{entrained} × {air_fraction} = {from_air} of oxygen in the air",
    ),
    Rule("all_oxygen", ("pure", "from_air"), plus, "{pure} + {from_air} = {all_oxygen} of oxygen"),
    Rule("share", ("all_oxygen", "whole"), ratio, "{all_oxygen} ÷ {whole} = {share}"),
    Rule("percent", ("share",), as_percent, "{share} × 100 = {percent}"),
    # the other way round: how much air for a fraction
    Rule(
        "air_for_one",
        ("oxygen_fraction", "air_fraction"),
        lambda mixed, air: minus(bare(1), mixed) / minus(mixed, air),
        "(1 − {oxygen_fraction}) ÷ ({oxygen_fraction} − {air_fraction}) = {air_for_one} of air for 1 of oxygen",
    ),
    Rule("parts", ("air_for_one",), as_parts),
    Rule("need_air", ("oxygen", "air_for_one"), times, "{oxygen} × {air_for_one} = {need_air} of air"),
    Rule("need_total", ("oxygen", "need_air"), plus, "{oxygen} + {need_air} = {need_total}"),
    Rule("need_total", ("air", "need_oxygen"), plus, "{air} + {need_oxygen} = {need_total}"),
    Rule("need_oxygen", ("air", "air_for_one"), over, "{air} ÷ {air_for_one} = {need_oxygen} of oxygen"),
    Rule(
        "need_oxygen",
        ("total_flow", "oxygen_fraction", "air_fraction"),
        lambda total, mixed, air: total * (minus(mixed, air) / minus(bare(1), air)),
        "{total_flow} × ({oxygen_fraction} − {air_fraction}) ÷ (1 − {air_fraction}) = {need_oxygen} of oxygen",
    ),
    Rule("need_air", ("total_flow", "need_oxygen"), minus, "{total_flow} − {need_oxygen} = {need_air} of air"),
    # a light gas
    Rule("true_flow", ("indicated", "flow_factor"), times, "{indicated} × {flow_factor} = {true_flow}"),
    Rule("to_set", ("actual", "flow_factor"), over, "{actual} ÷ {flow_factor} = {to_set}"),
    Rule("found_factor", ("actual", "indicated"), ratio, "{actual} ÷ {indicated} = {found_factor}"),
)
_SLIPS = (
    Slip(
        "percent",
        "the air's own oxygen left out",
        "{pure} ÷ {whole}",
        ("pure", "whole"),
        lambda pure, whole: as_percent(ratio(pure, whole)),
    ),
    Slip("true_flow", "divided by the factor", "{indicated} ÷ {flow_factor}", ("indicated", "flow_factor"), over),
    Slip("true_flow", "factor left out", "the flow as it is shown", ("indicated",), lambda flow: flow),
    Slip("to_set", "multiplied by the factor", "{actual} × {flow_factor}", ("actual", "flow_factor"), times),
)
_FAMILY = Family(_RULES, _SLIPS)

KINDS = (
    _FAMILY.kind(
        "gas_flow",
        "A light gas through an oxygen meter",
        "the actual flow, or the flow to set",
        Want("true_flow", "actual flow", ("L/min",)),
        Want("to_set", "flow to set on the meter", ("L/min",)),
        Want("found_factor", "factor", ("",)),
    ),
    _FAMILY.kind(
        "gas_mix",
        "Air and oxygen mixed",
        "the oxygen percent, or the flows for it",
        Want("percent", "oxygen in the mixture", ("%",), ("oxygen percent", "fio2", "percent")),
        Want("need_total", "total flow", ("L/min",), ("total",)),
        Want("need_air", "flow of air", ("L/min",), ("flow of air", "air flow", "air")),
        Want("need_oxygen", "flow of oxygen", ("L/min",), ("flow of oxygen", "oxygen flow", "oxygen")),
        Want(
            "parts",
            "parts of air for 1 part of oxygen",
            ("part",),
            ("ratio", "parts of air", "air to oxygen", "air-to-oxygen"),
        ),
    ),
)
