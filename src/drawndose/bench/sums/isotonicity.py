"""What to add so that a solution of several drugs becomes isotonic: by sodium chloride equivalents, or by freezing point.

By E: (isotonic percent × volume) − sum of (mass × E). By freezing point: (target − sum of lowerings) ÷ lowering of 1 %.
Another agent than sodium chloride takes the mass of sodium chloride ÷ its own E.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.sums.given import only_one, read
from drawndose.bench.sums.inputs import INPUTS
from drawndose.bench.sums.quantity_words import as_percent, minus, plus, tell, tidied, times
from drawndose.bench.sums.readers import degrees
from drawndose.bench.sums.shape import Result, Stated, Sum, Value, Worked, WrongWay
from drawndose.bench.sums.strengths import read_stated
from drawndose.quantities import Fault, Quantity, Refused, read_number, read_quantity, unit

_E = re.compile(r"E\s*(?:=|of|value)?\s*(?P<n>[0-9./]+)", re.IGNORECASE)
_LETTERS = "abcde"
_BY_E = (
    "volume",
    "final_volume",
    *(f"drug_{x}" for x in _LETTERS),
    "strength",
    "mass",
    "e_value",
    "isotonic",
    "agent_e",
    "saline",
)
_BY_FREEZING = (
    *("volume", "final_volume", *(f"drug_{x}" for x in _LETTERS), "strength", "mass", "depression"),
    *("nacl_depression", "target", "saline"),
)


@dataclass(frozen=True, slots=True)
class _Drug:
    """One dissolved substance: how much (a mass, or a strength in the volume), and its E or its lowering by 1 %."""

    amount: Quantity
    effect: Quantity


def _drugs(given: dict[str, str], values: dict[str, Value], effect_name: str, of: str) -> list[_Drug]:
    """The drugs of the question, listed by letter or given singly by strength or mass and its effect."""
    found: list[_Drug] = []
    faults: list[Fault] = []
    for letter in _LETTERS:
        name = f"drug_{letter}"
        if name in given:
            try:
                found.append(_drug(given[name], name, effect_name, of))
            except Refused as refused:
                faults += refused.faults
    amount, effect = values.get("strength", values.get("mass")), values.get(effect_name)
    if isinstance(amount, Stated):
        amount = amount.ratio
    if isinstance(amount, Quantity) and isinstance(effect, Quantity):
        found.append(_Drug(amount, effect))
    elif amount is not None or effect is not None:
        rule = f"one drug takes its strength or mass together with {effect_name}"
        faults.append(Fault(field=effect_name, rule=rule, came="one of the two", accepted="both, or drug_a, drug_b"))
    if not found and not faults:
        faults.append(Fault(field="drug_a", rule="a drug is needed", came="nothing", accepted=_accepted(effect_name)))
    if faults:
        raise Refused(faults)
    return found


def _accepted(effect_name: str) -> str:
    return "5.6 g, E 0.49" if effect_name == "e_value" else "1 %, 0.14 deg per 1 %"


def _drug(text: str, field: str, effect_name: str, of: str) -> _Drug:
    pieces = [piece.strip() for piece in text.split(",")]
    accepted = _accepted(effect_name)
    if len(pieces) != 2:
        raise Refused([Fault(field=field, rule="an amount, a comma and an effect", came=text, accepted=accepted)])
    if "%" in pieces[0] or "/" in pieces[0] or " per " in pieces[0] or ":" in pieces[0]:
        amount = read_stated(pieces[0], field, of).ratio
    else:
        amount = read_quantity(pieces[0], field=field, of=of, kg="kilogram")
    if effect_name == "depression":
        return _Drug(amount, degrees(pieces[1], field, of))
    found = _E.fullmatch(pieces[1])
    if found is None:
        raise Refused([Fault(field=field, rule="the effect is E and a number", came=pieces[1], accepted=accepted)])
    return _Drug(amount, Quantity(read_number(found["n"], field=field), unit("")))


def _ratio_of(values: dict[str, Value], name: str) -> Quantity | None:
    value = values.get(name)
    return value.ratio if isinstance(value, Stated) else value if isinstance(value, Quantity) else None


def _needed(values: dict[str, Value], this: Sum, *names: str) -> list[Quantity]:
    """The values by name, or Refused naming every one that is missing."""
    found = [_ratio_of(values, name) for name in names]
    missing = [name for name, value in zip(names, found, strict=True) if value is None]
    if missing:
        raise Refused(
            Fault(field=name, rule=f"it is needed to find {this.asks}", came="nothing", accepted=INPUTS[name].accepts)
            for name in missing
        )
    return [value for value in found if value is not None]


def _whole(values: dict[str, Value]) -> Quantity:
    """The volume; where none came, 100 mL, so that the answer is a percent."""
    return _ratio_of(values, "volume") or _ratio_of(values, "final_volume") or Quantity(Fraction(100), unit("mL"))


def _left(whole: Quantity, parts: Quantity, what: str) -> Quantity:
    try:
        return minus(whole, parts)
    except ValueError as error:
        rule = f"the drugs alone are already more than isotonic, so there is nothing to add: {error}"
        raise Refused([Fault(field=what, rule=rule, came=tell(parts), accepted="a weaker solution")]) from error


def _mass_in(drug: _Drug, volume: Quantity) -> Quantity:
    made = drug.amount if len(drug.amount.dimension) == 1 else drug.amount * volume
    return made.to("g")


def _by_e(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    """Sodium chloride equivalents."""
    values = read(this.inputs, given, of)
    only_one(given, ("volume", "final_volume"), ("strength", "mass"))
    volume = _whole(values)
    (isotonic,) = _needed(values, this, "isotonic")
    wanted = times(isotonic, volume).to("g")
    lines = [f"{tell(as_percent(isotonic))} of {tell(volume)} = {tell(wanted)} of sodium chloride in all"]
    stands = masses = Quantity(Fraction(0), unit("g"))
    for drug in _drugs(given, values, "e_value", of):
        mass = _mass_in(drug, volume)
        lines.append(f"{tell(mass)} × E {tell(drug.effect)} = {tell(mass * drug.effect)}")
        stands, masses = plus(stands, mass * drug.effect), plus(masses, mass)
    to_add = _left(wanted, stands, "isotonic")
    lines.append(f"{tell(wanted)} − {tell(stands)} = {tell(to_add)} of sodium chloride")
    wrong = [WrongWay("drugs left out", "as if the drugs had no effect", wanted)]
    if stands.base < masses.base <= wanted.base:
        wrong.append(WrongWay("E left out", "the drugs' own mass taken off", minus(wanted, masses)))
    return _finish(this, values, to_add, volume, lines, wrong, asked)


def _by_freezing(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
    """Freezing-point lowerings."""
    values = read(this.inputs, given, of)
    only_one(given, ("volume", "final_volume"), ("strength", "mass"))
    volume = _whole(values)
    target, each = _needed(values, this, "target", "nacl_depression")
    lines = []
    lowered = Quantity(Fraction(0), unit("degC"))
    for drug in _drugs(given, values, "depression", of):
        percent = as_percent(_mass_in(drug, volume) / volume)
        share = drug.effect * percent.value
        lines.append(f"{tell(percent)} × {tell(drug.effect)} for each 1 % = {tell(share)}")
        lowered = plus(lowered, share)
    rest = _left(target, lowered, "target")
    lines.append(f"{tell(target)} − {tell(lowered)} = {tell(rest)} still to lower")
    share_to_add = rest.base / each.base
    to_add = Quantity(share_to_add / 100, unit("g/mL")) * volume
    lines.append(f"{tell(rest)} ÷ {tell(each)} for each 1 % = {tell(Quantity(share_to_add, unit('%')))}")
    lines.append(f"{tell(Quantity(share_to_add, unit('%')))} of {tell(volume)} = {tell(tidied(to_add.to('g')))}")
    alone = Quantity(target.base / each.base / 100, unit("g/mL")) * volume
    wrong = [WrongWay("drugs left out", "as if the drugs had no effect", tidied(alone.to("g")))]
    return _finish(this, values, to_add.to("g"), volume, lines, wrong, asked)


def _finish(
    this: Sum,
    values: dict[str, Value],
    salt: Quantity,
    volume: Quantity,
    lines: list[str],
    wrong: list[WrongWay],
    asked: str,
) -> Worked:
    """The sodium chloride (a percent where no volume came), the agent instead of it, or the saline that carries it."""
    percent = as_percent(salt / volume)
    results = [
        Result("sodium_chloride", "sodium chloride to add", tidied(salt)),
        Result("percent", "sodium chloride to add, in percent", percent),
    ]
    if not values.keys() & {"volume", "final_volume"} or "percent" in asked.lower():
        results.reverse()
    agent, saline = _ratio_of(values, "agent_e"), _ratio_of(values, "saline")
    first = results[0].name
    if agent is not None:
        made = salt / agent
        lines.append(f"{tell(salt)} ÷ E {tell(agent)} = {tell(made)} of the other agent")
        results.insert(0, Result("agent", "mass of the other agent to add", tidied(made)))
    if saline is not None:
        carrier = (salt / saline).to("mL")
        lines.append(f"{tell(tidied(salt))} ÷ {tell(saline)} = {tell(carrier)} of the saline")
        results.insert(0, Result("saline", "volume of saline that carries it", carrier))
    if asked.lower().startswith(("sodium chloride", "mass of sodium chloride", "percent of sodium chloride")):
        results.sort(key=lambda one: one.name != first)
    ways = tuple(wrong) if results[0].name == "sodium_chloride" else ()
    return Worked(this.kind, tuple(results), tuple(lines), ways)


KINDS = (
    Sum(
        "isotonicity_e_value",
        "Isotonic by sodium chloride equivalents",
        "the sodium chloride to add",
        tuple(INPUTS[name] for name in _BY_E),
        _by_e,
    ),
    Sum(
        "isotonicity_freezing_point",
        "Isotonic by freezing point",
        "the sodium chloride to add",
        tuple(INPUTS[name] for name in _BY_FREEZING),
        _by_freezing,
    ),
)
