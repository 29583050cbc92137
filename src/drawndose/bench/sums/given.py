"""From the texts of a question to known values: names, other names, readers, all faults together."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.sums.inputs import INPUTS, OTHER_NAMES
from drawndose.bench.sums.shape import Input, Stated, Sum, Value
from drawndose.bench.sums.strengths import in_basis
from drawndose.quantities import Fault, Quantity, Refused, gather, nearest, unit

UNKNOWN = "the sum does not know this input"
"""The rule that an unknown name breaks; a check of cases tells such a case from one that was worked and refused."""

_MASSY = {"final_mass", "start_mass", "diluent_mass", "strong_mass", "weak_mass"} | {f"mass_{x}" for x in "abcd"}


def by_name(this: Sum, given: Mapping[str, str]) -> dict[str, str]:
    """The texts by input name. Refused for a name the sum does not know, or one that comes twice under two names."""
    named: dict[str, str] = {}
    faults: list[Fault] = []
    known = {one.name for one in this.inputs}
    for key, text in given.items():
        name = key if key in known else OTHER_NAMES.get(key, key)
        if name not in known:
            faults.append(
                Fault(
                    field=key,
                    rule=UNKNOWN,
                    came=text,
                    accepted=nearest(key, sorted(known), f"`drawndose sums {this.kind}`"),
                )
            )
        elif name in named:
            faults.append(Fault(field=key, rule=f"it came twice, once as {name}", came=text, accepted="once"))
        else:
            named[name] = text
    gather(faults)
    return named


def read(inputs: tuple[Input, ...], given: Mapping[str, str], of: str) -> dict[str, Value]:
    """Every text read by its input's reader. Refused with the faults of all of them."""
    values: dict[str, Value] = {}
    faults: list[Fault] = []
    for name, text in given.items():
        try:
            values[name] = INPUTS[name].read(text, name, of)
        except Refused as refused:
            faults += refused.faults
    gather(faults)
    return values


def only_one(given: Mapping[str, str], *pairs: tuple[str, str]) -> None:
    """Refused when both inputs of a pair came, because one of them would be ignored."""
    gather(
        Fault(field=second, rule=f"it came beside {first}", came=given[second], accepted="one of the two")
        for first, second in pairs
        if first in given and second in given
    )


@dataclass(frozen=True, slots=True)
class Known:
    """What is given: quantities by the name of what they turned out to be, the lines that convert strengths, and hints.

    hints: the bare figure of a percent or a ratio by "<name>_percent" or "<name>_parts", which only slips use.
    """

    values: dict[str, Quantity]
    lines: tuple[str, ...]
    hints: dict[str, Quantity]


def known_from(this: Sum, given: Mapping[str, str], of: str) -> Known:
    """Read what is given. Raises Refused with the faults of every input."""
    values = read(this.inputs, given, of)
    lettered = any(isinstance(value, Stated) and value.basis in {"w/w", "v/v"} for value in values.values())
    mixing = "weak" in given and all(value.basis == "bare" for value in values.values() if isinstance(value, Stated))
    basis = "share" if lettered or mixing or _MASSY.intersection(given) else "volume"
    known: dict[str, Quantity] = {}
    lines: list[str] = []
    hints: dict[str, Quantity] = {}
    for name, value in values.items():
        if isinstance(value, Stated):
            hints |= _hints(name, value)
            value = in_basis(value, basis, of)
            lines.append(value.line)
        quantity = value.ratio if isinstance(value, Stated) else value
        assert isinstance(quantity, Quantity)
        facet = _facet(name, quantity, stated=isinstance(value, Stated))
        if facet in known:
            rule = f"it says once more what the {facet} is"
            raise Refused([Fault(field=name, rule=rule, came=given[name], accepted="one of the two")])
        known[facet] = _plain(name, quantity)
    return Known(known, tuple(lines), hints)


def _hints(name: str, stated: Stated) -> dict[str, Quantity]:
    if stated.basis == "amount" or stated.ratio.base == 0:
        return {}
    share = in_basis(stated, "share", "").ratio.base
    if "%" in stated.text:
        return {f"{name}_percent": Quantity(share * 100, unit(""))}
    return {f"{name}_parts": Quantity(1 / share, unit(""))}


def _facet(name: str, value: Quantity, stated: bool = False) -> str:
    """What an input turned out to be, by its unit."""
    below = {dimension for dimension, power in value.dimension if power < 0}
    if name == "dose_rate":
        if "body mass" not in below:
            return "rate"
        if "time" not in below:
            return "dose_per_kg"
        return "daily_per_kg" if any(symbol == "day" for symbol, _ in value.unit.parts) else "rate_per_kg"
    if name == "weight" and value.dimension == (("pounds", 1),):
        return "weight_lb"
    if name == "maximum" and "time" in below:
        return "daily_maximum"
    if name == "pump_rate" and ("drops", 1) in value.dimension:
        return "drop_rate"
    if name == "mass" and value.dimension == (("pounds", 1),):
        return "liquid_mass"
    if name == "mass" and stated:
        return "strength"
    if name == "strength" and "drops" in below:
        return "dose_per_drop"
    if name == "step":
        return "strength"
    if name == "factor" and not value.dimension:
        return "flow_factor"
    return name


_A_DAY = {"doses_per_day", "per_day", "hours_per_day"}


def _plain(name: str, value: Quantity) -> Quantity:
    """What the name already says is taken out of the unit: "4 puffs/day" used per day is 4 puffs."""
    if name in _A_DAY and ("time", -1) in value.dimension:
        return value * Quantity(Fraction(1), unit("day"))
    if ("drops", -1) in value.dimension and name in {"strength", "dose_per_drop"}:
        return value * Quantity(Fraction(1), unit("drop"))
    return value
