"""The search over containers and instruments: every way for every drug line, combined, ranked, and checked in that order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction
from itertools import product

from drawndose.bench.candidate import Candidate, rank
from drawndose.bench.dosing import Counted, Resolved, counted_as
from drawndose.bench.draws import Draw, Offer
from drawndose.bench.fills import fill_plan
from drawndose.bench.findings import Finding
from drawndose.bench.in_hand import InHand
from drawndose.bench.intermediate import first_dilution
from drawndose.bench.kept import Kept
from drawndose.bench.order import FillRule, Order, Question
from drawndose.bench.policy import Policy
from drawndose.bench.printed import prints
from drawndose.bench.safeguards import AtHand, Seen, container_findings, findings, in_order
from drawndose.bench.takes import Against, Dilution, Take, liquid_of, ways
from drawndose.quantities import Quantity, show_strength
from drawndose.reference import Active, ByNebulizer, Cup, DilutionRule, Instrument


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What there is to work with."""

    drugs: tuple[InHand, ...]
    diluents: tuple[InHand, ...]
    instruments: tuple[Instrument, ...]
    cup: Cup | None
    policy: Policy
    now: datetime | None = None
    kept: Kept = field(default_factory=Kept)


@dataclass(slots=True)
class Found:
    """What the search found: takes by line, what each line's amount counts as, offers, reasons against, questions."""

    takes: dict[tuple[int, ...], list[Take]]
    counted: dict[tuple[int, str], Counted]
    offers: list[tuple[InHand, Offer]]
    against: list[Against]
    questions: list[Question]


def search(doses: tuple[Resolved, ...], bench: Bench) -> Found:
    """Every way for every line and, for combination products, for the lines that one container serves together."""
    found = Found({}, {}, [], [], [])
    for place, resolved in enumerate(doses):
        for in_hand in bench.drugs:
            if len(in_hand.presentation.actives) == 1 and resolved.line.drug.id in in_hand.presentation.drugs:
                _single(place, resolved, in_hand, bench, found)
    for in_hand in bench.drugs:
        if len(in_hand.presentation.actives) > 1:
            _combination(doses, in_hand, bench, found)
    return found


def _single(place: int, resolved: Resolved, in_hand: InHand, bench: Bench, found: Found) -> None:
    active = in_hand.presentation.actives[0]
    wanted = _wanted(place, resolved, in_hand, active, bench.policy, found)
    if wanted is None:
        return
    got = ways(in_hand, (place,), wanted, (wanted,), active, bench.instruments, bench.policy)
    found.takes.setdefault((place,), []).extend(got.takes)
    found.offers.extend(got.offers)
    found.against.extend(got.against)


def _wanted(
    place: int, resolved: Resolved, in_hand: InHand, active: Active, policy: Policy, found: Found
) -> Quantity | None:
    """The amount that the line asks for, counted as this label counts it; None with the reason kept."""
    strength = resolved.line.dose.strength
    if strength is not None and not prints(active, strength):
        found.against.append(Against(in_hand, None, lambda: f"the order names {show_strength(strength)}"))
        return None
    if resolved.volume is not None and strength is not None:
        amount = in_hand.per_ml(active) * resolved.volume
        found.counted[(place, active.moiety)] = Counted(amount=amount)
        return amount.to(str(active.strength.amount.unit))
    if resolved.amount is None:
        return None
    counted = counted_as(resolved.amount, active.moiety, resolved.line.drug, policy)
    if counted.question is not None and counted.question not in found.questions:
        found.questions.append(counted.question)
    if counted.amount is None:
        if counted.why_not:
            found.against.append(Against(in_hand, None, lambda: counted.why_not))
        return None
    if counted.amount.dimension != active.strength.amount.dimension:
        unit = active.strength.amount.unit
        found.against.append(Against(in_hand, None, lambda: f"its strength is in {unit}, the order is not"))
        return None
    found.counted[(place, active.moiety)] = counted
    return counted.amount


def _combination(doses: tuple[Resolved, ...], in_hand: InHand, bench: Bench, found: Found) -> None:
    """A container with several actives serves an order only when every amount comes out of it together."""
    served: list[tuple[int, Active, Quantity]] = []
    for active in in_hand.presentation.actives:
        for place, resolved in enumerate(doses):
            if (
                resolved.line.drug.moiety(active.moiety) is None
                or resolved.line.drug.id not in in_hand.presentation.drugs
            ):
                continue
            wanted = _wanted(place, resolved, in_hand, active, bench.policy, found)
            if wanted is not None:
                served.append((place, active, wanted))
    if not served:
        return
    if len(served) < len(in_hand.presentation.actives):
        found.against.append(Against(in_hand, None, lambda: "it also holds a drug that the order does not name"))
        return
    shares = {wanted.over(in_hand.amount_in(active)) for _, active, wanted in served}
    if len(shares) > 1:
        found.against.append(Against(in_hand, None, lambda: "its fixed amounts do not match the ordered ones together"))
        return
    lines = tuple(place for place, _, _ in served)
    amounts = tuple(wanted for _, _, wanted in served)
    got = ways(in_hand, lines, amounts[0], amounts, served[0][1], bench.instruments, bench.policy)
    found.takes.setdefault(lines, []).extend(got.takes)
    found.offers.extend(got.offers)
    found.against.extend(got.against)


def add_first_dilutions(doses: tuple[Resolved, ...], bench: Bench, order: Order, found: Found) -> None:
    """For every line that nothing measures: a first dilution out of each container, where one is good enough."""
    most = Fraction(bench.cup.holds.to("mL").value) if bench.cup is not None else Fraction(6)
    if order.fill is not None and order.fill.rule is FillRule.UNDILUTED:
        return
    if order.fill is not None and order.fill.rule is FillRule.TO_TOTAL and order.fill.volume is not None:
        most = min(most, order.fill.volume.to("mL").value)
    for place, resolved in enumerate(doses):
        if any(place in lines and takes for lines, takes in found.takes.items()):
            continue
        for in_hand in bench.drugs:
            if not may_be_diluted(in_hand):
                continue
            active = in_hand.presentation.actives[0]
            counted = found.counted.get((place, active.moiety))
            if resolved.line.drug.id not in in_hand.presentation.drugs or counted is None or counted.amount is None:
                continue
            volume = (counted.amount / in_hand.per_ml(active)).to("mL").value
            liquid = liquid_of(in_hand, bench.instruments, bench.policy)
            made = first_dilution(in_hand, volume, most, bench.instruments, bench.policy, liquid)
            if made is not None:
                found.takes.setdefault((place,), []).append(_diluted(in_hand, place, counted.amount, made, liquid))


def may_be_diluted(in_hand: InHand) -> bool:
    """Not what the label never dilutes, only makes up, or ties to its own device; nor an opened single dose."""
    rule, presentation = in_hand.presentation.dilution, in_hand.presentation
    never = rule is not None and rule.rule in {DilutionRule.NEVER, DilutionRule.RECONSTITUTE}
    opened = in_hand.left is not None and not presentation.multi_dose
    single = len(presentation.actives) == 1
    return single and not never and not opened and presentation.by_nebulizer is not ByNebulizer.OWN_DEVICE


def _diluted(in_hand: InHand, place: int, amount: Quantity, made: Dilution, liquid: Draw | None) -> Take:
    return Take(
        in_hand=in_hand,
        lines=(place,),
        amounts=(amount,),
        volume=made.part.volume,
        whole=0,
        draw=None,
        containers=1,
        first_dilution=made,
        liquid=liquid,
    )


def combinations(doses: tuple[Resolved, ...], found: Found, policy: Policy) -> list[tuple[Take, ...]]:
    """Takes that together serve every line once, best first by the ranking (stops are not known yet)."""
    if len(doses) == 1:
        return sorted(((take,) for take in found.takes.get((0,), [])), key=lambda takes: rank(takes, policy))
    worth = {lines: _undominated(takes, policy) for lines, takes in found.takes.items() if takes}
    together = [
        choice
        for cover in _covers(tuple(range(len(doses))), list(worth))
        for choice in product(*(worth[lines] for lines in cover))
    ]
    return sorted(together, key=lambda takes: rank(takes, policy))


def _undominated(takes: list[Take], policy: Policy) -> list[Take]:
    """Of each container only the instruments that another one does not beat, or equal, in every respect that is ranked.

    A beaten one can win in no combination, since sums and maxima keep the order; so leaving it out changes no plan. A
    container is never left out for another: which one is stopped is known only with the fill.
    """
    kept: list[tuple[tuple[object, ...], Take]] = []
    for mine, take in sorted(((rank((one,), policy), one) for one in takes), key=lambda pair: pair[0]):
        rivals = [theirs for theirs, one in kept if _what(one) == _what(take)]
        if not any(all(a <= b for a, b in zip(theirs, mine, strict=True)) for theirs in rivals):  # type: ignore[operator]
            kept.append((mine, take))
    return [take for _, take in kept]


def _what(take: Take) -> tuple[int, Fraction, bool]:
    """What a stop can depend on: the container, the volume, and whether it is diluted first; not the instrument."""
    return (id(take.in_hand), take.volume, take.first_dilution is not None)


def _covers(lines: tuple[int, ...], parts: list[tuple[int, ...]]) -> Iterator[tuple[tuple[int, ...], ...]]:
    """Every way to split the lines into parts that some container serves."""
    if not lines:
        yield ()
        return
    for part in parts:
        if lines[0] in part and set(part) <= set(lines):
            rest = tuple(line for line in lines if line not in part)
            for others in _covers(rest, parts):
                yield (part, *others)


def check(takes: tuple[Take, ...], doses: tuple[Resolved, ...], order: Order, bench: Bench, found: Found) -> Candidate:
    """One combination with its fill and everything the safeguards find."""
    fill = fill_plan(takes, order, bench.diluents, bench.instruments, bench.policy, bench.cup)
    counted = tuple(_counted(place, takes, found) for place in range(len(doses)))
    seen = Seen(
        order=order,
        doses=doses,
        counted=counted,
        takes=takes,
        fill=fill,
        cup=bench.cup,
        policy=bench.policy,
        kept=bench.kept,
        instruments=bench.instruments,
    )
    found_here = findings(seen)
    if bench.now is not None:
        used = [take.in_hand for take in takes] + ([fill.in_hand] if fill.in_hand is not None else [])
        found_here = in_order([*found_here, *_of_containers(used, bench.now, bench.policy)])
    return Candidate(takes=takes, fill=fill, findings=found_here)


def _of_containers(used: list[InHand], now: datetime, policy: Policy) -> Iterator[Finding]:
    """What is found on the containers whose condition somebody said."""
    for one in used:
        if one.condition is not None:
            yield from container_findings(AtHand(in_hand=one, condition=one.condition, now=now, policy=policy))


def _counted(place: int, takes: tuple[Take, ...], found: Found) -> Counted:
    serving = (pair for take in takes for pair in zip(take.lines, take.amounts, strict=True))
    return next(found.counted[(place, amount.of[0][0])] for line, amount in serving if line == place)


def choose(
    together: list[tuple[Take, ...]], doses: tuple[Resolved, ...], order: Order, bench: Bench, found: Found
) -> tuple[Candidate | None, list[Candidate]]:
    """The first combination without a stop that asks nothing, else the first without a stop; and those held back.

    A way that can be followed goes before one that first needs an answer about its diluent or its fill.
    """
    held: dict[tuple[object, ...], Candidate] = {}
    for takes in together:
        if whats(takes) in held:
            continue
        candidate = check(takes, doses, order, bench, found)
        if not candidate.stops and not candidate.fill.questions:
            return candidate, list(held.values())
        held[whats(takes)] = candidate
    asking = next((candidate for candidate in held.values() if not candidate.stops), None)
    return asking, [candidate for candidate in held.values() if candidate.stops]


def whats(takes: tuple[Take, ...]) -> tuple[object, ...]:
    """What the stops of a way can depend on, of each of its takes."""
    return tuple(_what(take) for take in takes)
