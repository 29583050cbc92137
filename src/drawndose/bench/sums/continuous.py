"""Infusions and pumps: dose rate = pump rate × strength, for each kg where the order says so; and the other way round."""

from drawndose.bench.sums.by_weight import WEIGHTS
from drawndose.bench.sums.quantity_words import one, over, same, times
from drawndose.bench.sums.working import Family, Rule, Slip, Want

_RULES = (
    Rule("strength", ("mass", "volume"), over, "{mass} in {volume} = {strength}"),
    Rule("strength", ("mass", "final_volume"), over, "{mass} in {final_volume} = {strength}"),
    Rule("pumped", ("pump_rate",), same),
    Rule("pumped", ("drop_rate", "drops_per_mL"), over, "{drop_rate} ÷ {drops_per_mL} = {pumped}"),
    Rule("pumped", ("volume", "time"), over, "{volume} ÷ {time} = {pumped}"),
    Rule("pumped", ("final_volume", "time"), over, "{final_volume} ÷ {time} = {pumped}"),
    Rule("pumped", ("start_volume", "time"), over, "{start_volume} ÷ {time} = {pumped}"),
    Rule("amount_rate", ("pumped", "strength"), times, "{pumped} × {strength} = {amount_rate}"),
    Rule("amount_rate", ("dose", "time"), over, "{dose} ÷ {time} = {amount_rate}"),
    Rule("amount_rate", ("mass", "time"), over, "{mass} ÷ {time} = {amount_rate}"),
    Rule("amount_rate", ("rate",), same),
    Rule("dosed", ("amount_rate",), same),
    Rule("dosed", ("amount_rate", "weight"), over, "{amount_rate} ÷ {weight} = {dosed}"),
    *WEIGHTS,
    Rule("ordered", ("rate",), same),
    Rule("ordered", ("rate_per_kg", "weight"), times, "{rate_per_kg} × {weight} = {ordered}"),
    Rule("ordered", ("daily_per_kg", "weight"), times, "{daily_per_kg} × {weight} = {ordered}"),
    Rule("ordered", ("dose", "time"), over, "{dose} ÷ {time} = {ordered}"),
    Rule(
        "to_set",
        ("ordered", "strength"),
        lambda rate, strength: (rate / strength).to("mL/h"),
        "{ordered} ÷ {strength} = {to_set}",
    ),
    Rule("to_set", ("volume", "time"), lambda volume, time: (volume / time).to("mL/h"), "{volume} ÷ {time} = {to_set}"),
    Rule(
        "to_set",
        ("drop_rate", "drops_per_mL"),
        lambda drops, per: (drops / per).to("mL/h"),
        "{drop_rate} ÷ {drops_per_mL} = {to_set}",
    ),
    Rule(
        "to_count",
        ("to_set", "drops_per_mL"),
        lambda rate, per: (rate * per).to("drop/min"),
        "{to_set} × {drops_per_mL} = {to_count}",
    ),
    Rule(
        "to_count",
        ("pump_rate", "drops_per_mL"),
        lambda rate, per: (rate * per).to("drop/min"),
        "{pump_rate} × {drops_per_mL} = {to_count}",
    ),
    Rule("runs", ("volume", "pumped_rate"), over, "{volume} ÷ {pumped_rate} = {runs}"),
    Rule("runs", ("final_volume", "pumped_rate"), over, "{final_volume} ÷ {pumped_rate} = {runs}"),
    Rule("pumped_rate", ("pump_rate",), same),
    Rule("pumped_rate", ("drop_rate", "drops_per_mL"), over, "{drop_rate} ÷ {drops_per_mL} = {pumped_rate}"),
    Rule("pumped_rate", ("ordered", "strength"), over, "{ordered} ÷ {strength} = {pumped_rate}"),
    Rule("given_volume", ("pumped_rate", "time"), times, "{pumped_rate} × {time} = {given_volume}"),
)
_SLIPS = (
    Slip("dosed", "weight left out", "as if it were not for each kg", ("amount_rate", "weight"), lambda rate, _: rate),
    Slip("dosed", "factor 60", "an hour taken for a minute", ("dosed",), lambda rate: rate * 60),
    Slip("dosed", "factor 1000", "mg taken for mcg", ("dosed",), lambda rate: rate / 1000),
    Slip("to_set", "factor 60", "mL in a minute set as mL in an hour", ("to_set",), lambda rate: rate / 60),
    Slip("to_set", "factor 1000", "mcg taken for mg", ("to_set", "strength"), lambda rate, _: rate * 1000),
    Slip(
        "to_set",
        "weight left out",
        "as if it were not for each kg",
        ("rate_per_kg", "strength"),
        lambda rate, strength: rate * one("kg") / strength,
    ),
)
_FAMILY = Family(_RULES, _SLIPS)
_DOSED = Want(
    "dosed", "dose rate", ("mcg/kg/min", "mg/min", "unit/h", "mEq/h", "unit/kg/h", "mmol/h"), (), lambda rate: ()
)
_SET = Want("to_set", "pump rate", ("mL/h",), ("pump rate", "ml/h", "ml per h"))
_COUNT = Want("to_count", "drops in a minute", ("drop/min",), ("drops", "drip"))
_RUNS = Want("runs", "time it runs", ("h",), ("time", "how long", "hours"))
_GIVEN = Want("given_volume", "volume given", ("mL",), ("volume",))

KINDS = (
    _FAMILY.kind("infusion_dose", "Dose of an infusion", "the dose rate", _DOSED),
    _FAMILY.kind("infusion_rate", "Rate of an infusion", "the pump rate", _SET, _COUNT),
    _FAMILY.kind("flow_time", "Volume, time and flow", "the pump rate, or the time", _SET, _COUNT, _RUNS, _GIVEN),
)
