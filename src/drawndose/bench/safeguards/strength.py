"""The strength that the order names against what stands on the bench: the same drug six or ten times stronger is another product."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.in_hand import InHand
from drawndose.bench.order import DrugLine
from drawndose.bench.printed import prints
from drawndose.bench.safeguards.preparing import factor_words
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.quantities import show, show_strength
from drawndose.reference import Active


class Bottled(NamedTuple):
    """One part of a container of an ordered drug."""

    in_hand: InHand
    active: Active


class Named(NamedTuple):
    """A line that names a strength, with every container of its drug on the bench."""

    line: DrugLine
    there: tuple[Bottled, ...]


def each_named(lines: tuple[DrugLine, ...], drugs: tuple[InHand, ...]) -> tuple[Named, ...]:
    """The lines of an order that name a strength: the context of the rule."""
    return tuple(Named(line, _there(line, drugs)) for line in lines if line.dose.strength is not None)


def _there(line: DrugLine, drugs: tuple[InHand, ...]) -> tuple[Bottled, ...]:
    counts = {moiety.id for moiety in line.drug.moieties}
    return tuple(
        Bottled(one, active)
        for one in drugs
        if line.drug.id in one.presentation.drugs
        for active in one.presentation.actives
        if active.moiety in counts
    )


def each_line(named: tuple[Named, ...]) -> Iterator[Named]:
    """Every such line."""
    return iter(named)


@rule(
    "another-strength",
    Level.STOP,
    "Is what stands on the bench of the strength that the order names?",
    needs=("the strength that the order names", "the containers on the bench"),
    waiver=Waiver.NOBODY,
    over=each_line,
)
def another_strength(named: Named) -> Said | None:
    """None of the drug's containers prints it; the nearest is told, with its factor. Silent where none of the drug is there."""
    wanted = named.line.dose.strength
    assert wanted is not None
    if not named.there or any(prints(one.active, wanted) for one in named.there):
        return None
    factor, nearest = min(((_times(one, named), one) for one in named.there), key=lambda pair: _apart(pair[0]))
    per_ml = show(nearest.active.strength.ratio)
    says = f"The order names {show_strength(wanted)}; {nearest.in_hand.name}, on the bench, is {per_ml}"
    if factor:
        says += f", {factor_words(max(factor, 1 / factor))} times {'stronger' if factor > 1 else 'weaker'}"
    return Said(
        f"{says}.",
        "Take the strength that is ordered, or ask the prescriber for the dose in an amount.",
        nearest.active.origin,
    )


def _times(one: Bottled, named: Named) -> Fraction:
    """The container's strength over the ordered one; 0 where they are of different kinds."""
    assert named.line.dose.strength is not None
    wanted, there = named.line.dose.strength.ratio, one.active.strength.ratio
    return there.base / wanted.base if there.dimension == wanted.dimension and wanted.base else Fraction(0)


def _apart(factor: Fraction) -> tuple[bool, Fraction]:
    return (not factor, max(factor, 1 / factor) if factor else Fraction(0))


RULES = (another_strength,)
