"""How a sum is worked: rules lead from what is given to what is asked, and every rule used leaves its line.

A family of sums is data: rules ("dose ÷ strength = volume"), what is wanted, and the wrong ways. A way from the given
inputs to the wanted thing counts only when it uses every input, because an input that changes nothing was either
misunderstood or is a mistake; such inputs are refused by name, never ignored.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice, product

from drawndose.bench.sums.given import known_from
from drawndose.bench.sums.inputs import INPUTS
from drawndose.bench.sums.quantity_words import tell, tidied
from drawndose.bench.sums.shape import Input, Result, Sum, Worked, WrongWay
from drawndose.quantities import Fault, Quantity, Refused, Unlike, gather, unit

_ALONE = re.compile(r"[0-9][0-9,]*(?:\.[0-9]+)?", re.ASCII)
_WITH_UNIT = re.compile(r"[0-9.,]+ ?[a-zA-Z%]")
MOST_WAYS = 400
"""Ways that are looked at before giving up; the longest family needs fewer than a hundred."""


@dataclass(frozen=True, slots=True)
class Rule:
    """How one thing follows from others, and the line that says so: "{dose} ÷ {strength} = {volume}".

    bare: the strength that must have come as a percent or a ratio for this rule to make sense.
    """

    makes: str
    needs: tuple[str, ...]
    how: Callable[..., Quantity]
    says: str = ""
    bare: str = ""


@dataclass(frozen=True, slots=True)
class Want:
    """A thing a kind can be asked for. units: which units it may come out in, the first that fits is shown.

    words: what names it in the words of a question. forms: the same value in other forms.
    only_asked: found only when the question names it, because it is another reading of the same inputs.
    without: what may not be used on the way, because the answer would come out of itself.
    """

    name: str
    says: str
    units: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    forms: Callable[[Quantity], tuple[Quantity, ...]] = lambda value: ()
    only_asked: bool = False
    without: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Slip:
    """A wrong way of finding `wanted`, from values that the right way used."""

    wanted: str
    name: str
    says: str
    needs: tuple[str, ...]
    how: Callable[..., Quantity]


@dataclass(frozen=True, slots=True)
class Way:
    """One way to a thing: given (no rule), or by a rule from the ways to its needs."""

    name: str
    rule: Rule | None = None
    parts: tuple["Way", ...] = ()

    @property
    def leaves(self) -> frozenset[str]:
        """The given things this way uses."""
        return frozenset().union(*(part.leaves for part in self.parts)) if self.rule else frozenset({self.name})

    @property
    def works(self) -> bool:
        """True when some rule on the way has something to say; else what came is only handed back."""
        return self.rule is not None and (self.rule.says != "" or any(part.works for part in self.parts))


def ways(
    name: str, have: frozenset[str], rules: Sequence[Rule], blocked: frozenset[str] = frozenset()
) -> Iterator[Way]:
    """Every way by rules to a thing from what is there; the order of the rules decides which comes first."""
    for rule in rules:
        if rule.makes != name or blocked.intersection(rule.needs) or name in rule.needs:
            continue
        below = [
            [Way(need)] if need in have else list(islice(ways(need, have, rules, blocked | {name}), MOST_WAYS))
            for need in rule.needs
        ]
        for parts in islice(product(*below), MOST_WAYS):
            yield Way(name, rule, parts)


@dataclass(frozen=True, slots=True)
class Family:
    """Rules and slips that several kinds share."""

    rules: tuple[Rule, ...]
    slips: tuple[Slip, ...] = ()

    def kind(self, kind: str, title: str, asks: str, *wants: Want) -> Sum:
        """A sum of this family that can be asked for the wanted things."""

        def work(this: Sum, given: dict[str, str], of: str, asked: str) -> Worked:
            return _worked(this, self, wants, given, of, asked)

        return Sum(kind, title, asks, self._inputs(wants), work)

    def _inputs(self, wants: tuple[Want, ...]) -> tuple[Input, ...]:
        """The inputs from which some way leads to something wanted."""
        names: set[str] = set()
        for want in wants:
            seen, waiting = set(want.without), [want.name]
            while waiting:
                name = waiting.pop()
                if name not in seen:
                    seen.add(name)
                    waiting += [need for rule in self.rules if rule.makes == name for need in rule.needs]
            names |= {FACETS.get(name, name) for name in seen - set(want.without) - {want.name}}
        return tuple(one for one in INPUTS.values() if one.name in names)


def _worked(this: Sum, family: Family, wants: tuple[Want, ...], given: dict[str, str], of: str, asked: str) -> Worked:
    read = known_from(this, given, of)
    known = read.values
    have = frozenset(known)
    rules = [rule for rule in family.rules if not rule.bare or _is_share(rule.bare, read.hints)]
    found = [
        (want, way)
        for want in wants
        for way in islice(ways(want.name, have, rules, frozenset(want.without)), MOST_WAYS)
        if way.works
    ]
    full = [(want, way) for want, way in found if way.leaves == have]
    if not full:
        raise Refused(_no_way(this, given, have, found))
    lines, results, slips = list(read.lines), list[Result](), tuple[WrongWay, ...]()
    first_fault: Refused | None = None
    for want in _asked_first([want for want, _ in full], asked, given):
        try:
            result, values, said = _first_that_fits(want, [way for one, way in full if one is want], known, given)
        except Refused as refused:
            first_fault = first_fault or refused
            continue
        slips = slips if results else tuple(_slips(family.slips, want, values | read.hints))
        results.append(result)
        lines += said
    if not results:
        assert first_fault is not None
        raise first_fault
    return Worked(this.kind, tuple(results), tuple(dict.fromkeys(line for line in lines if line)), slips)


def _is_share(name: str, hints: Mapping[str, Quantity]) -> bool:
    """True when the strength of this name came as a percent or a ratio."""
    return bool(hints.keys() & {f"{name}_percent", f"{name}_parts"})


def _first_that_fits(
    want: Want, found: list[Way], known: Mapping[str, Quantity], given: dict[str, str]
) -> tuple[Result, dict[str, Quantity], list[str]]:
    """The result of the first way whose units fit. Refused where none does, and where two ways disagree."""
    fault: Refused | None = None
    made: list[tuple[Result, dict[str, Quantity], list[str]]] = []
    for way in found:
        try:
            made.append(_result(want, way, known, given))
        except Refused as refused:
            fault = fault or refused
    if not made:
        assert fault is not None
        raise fault
    values = {one[1][want.name].base: tell(one[1][want.name]) for one in made}
    if len(values) > 1:
        rule = f"the inputs disagree: {want.says} comes out as {' and as '.join(values.values())}"
        raise Refused([Fault(field=want.name, rule=rule, came=_told(given), accepted="one input less")])
    return made[0]


def _told(given: Mapping[str, str]) -> str:
    return ", ".join(f"{name} {text}" for name, text in given.items()) or "nothing"


def _result(
    want: Want, way: Way, known: Mapping[str, Quantity], given: dict[str, str]
) -> tuple[Result, dict[str, Quantity], list[str]]:
    values: dict[str, Quantity] = {}
    said: list[str] = []
    try:
        _evaluate(way, known, values, said, want)
    except (Unlike, ZeroDivisionError, ValueError) as error:
        gather(_without_unit(given))
        rule = f"the values do not fit together: {error}"
        raise Refused([Fault(field=want.name, rule=rule, came=_told(given), accepted="other values")]) from error
    value = values[want.name]
    if want.units and not _fits(value, want.units):
        rule = f"the values do not fit together: {want.says} would be in {str(value.unit) or 'nothing'}"
        raise Refused([Fault(field=want.name, rule=rule, came=_told(given), accepted=", ".join(want.units))])
    return Result(want.name, want.says, value, want.forms(value)), values, said


def _without_unit(given: Mapping[str, str]) -> Iterator[Fault]:
    """A number that came alone, where the sum would have to guess what it counts."""
    for name, text in given.items():
        accepts = INPUTS[name].accepts
        if _ALONE.fullmatch(text.strip()) and _WITH_UNIT.match(accepts):
            yield Fault(field=name, rule="a number needs a unit here", came=text, accepted=accepts)


def _fits(value: Quantity, units: tuple[str, ...]) -> bool:
    return any(unit(one).dimension == value.dimension for one in units)


def _evaluate(
    way: Way, known: Mapping[str, Quantity], values: dict[str, Quantity], said: list[str], want: Want | None = None
) -> Quantity:
    if way.rule is None:
        values[way.name] = known[way.name]
        return known[way.name]
    parts = [_evaluate(part, known, values, said) for part in way.parts]
    made = way.rule.how(*parts)
    if sum(power > 0 for _, power in made.unit.parts) > 1 or any(abs(power) > 1 for _, power in made.unit.parts):
        raise Unlike(f"{', '.join(tell(part) for part in parts)}")
    values[way.name] = _shown(made, want.units if want else ())
    names = {name: tell(value) for name, value in values.items()} | {
        need: tell(part) for need, part in zip(way.rule.needs, parts, strict=True)
    }
    line = way.rule.says.format_map(names)
    sides = line.split(" = ")
    said += [line] if len(sides) != 2 or sides[0] != sides[1] else []
    return values[way.name]


def _shown(value: Quantity, units: tuple[str, ...]) -> Quantity:
    for one in units:
        if unit(one).dimension == value.dimension:
            return value.to(one)
    return tidied(value)


def _asked_first(wants: list[Want], asked: str, given: Mapping[str, str]) -> list[Want]:
    """The wanted things, each once, the one that the question names first before the others.

    A word "{strong}" stands for the text that was given as strong: "volume of the 95 %" names it.
    """
    text = asked.lower()
    distinct = list({want.name: want for want in wants}.values())
    places = {
        place: [
            text.find(word)
            for word in (given.get(one[1:-1], "-").lower() if one.startswith("{") else one for one in want.words)
            if text.find(word) >= 0
        ]
        for place, want in enumerate(distinct)
    }
    named = sorted((min(found), place) for place, found in places.items() if found)
    first = [distinct[named[0][1]]] if named else []
    others = [want for want in distinct if want not in first]
    return [*first, *(want for want in others if not want.only_asked)] or others


def _slips(slips: tuple[Slip, ...], want: Want, values: dict[str, Quantity]) -> Iterator[WrongWay]:
    """The slips that these values allow, each wrong answer once, under the name that comes first."""
    seen = {values[want.name].base}
    for slip in sorted(slips, key=lambda one: one.name.startswith("factor")):
        if slip.wanted != want.name or not values.keys() >= set(slip.needs):
            continue
        try:
            answer = _shown(slip.how(*(values[need] for need in slip.needs)), want.units)
        except (Unlike, ZeroDivisionError, ValueError):
            continue
        if answer.base not in seen and (not want.units or _fits(answer, want.units)):
            seen.add(answer.base)
            yield WrongWay(slip.name, slip.says.format_map({n: tell(v) for n, v in values.items()}), answer)


def _no_way(this: Sum, given: dict[str, str], have: frozenset[str], found: list[tuple[Want, Way]]) -> list[Fault]:
    takes = ", ".join(one.name for one in this.inputs)
    if not found:
        rule = f"not enough is given to find {this.asks}"
        return [Fault(field=this.kind, rule=rule, came=_told(given), accepted=takes)]
    best = max((way.leaves for _, way in found), key=len)
    unused = sorted({FACETS.get(name, name) for name in have - best})
    rule = f"it is not needed to find {this.asks} from the rest, so something is not as it was meant"
    return [Fault(field=name, rule=rule, came=given.get(name, name), accepted="leave it out") for name in unused]


FACETS: dict[str, str] = {
    "dose_per_kg": "dose_rate",
    "daily_per_kg": "dose_rate",
    "rate_per_kg": "dose_rate",
    "rate": "dose_rate",
    "weight_lb": "weight",
    "daily_maximum": "maximum",
    "drop_rate": "pump_rate",
    "flow_factor": "factor",
}
"""Things that an input may turn out to be, by its unit, to the input's name."""
