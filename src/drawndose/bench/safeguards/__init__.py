"""Rules of safe preparation, one small module for each family, each a tuple of `Rule`s.

A rule looks at the subject that it names and nothing else, changes nothing, and says both numbers.
"""

from drawndose.bench.findings import Finding
from drawndose.bench.preparation import Preparation
from drawndose.bench.safeguards import (
    additives,
    columns,
    counting,
    cup,
    diluent,
    doses,
    enough,
    giving,
    how_often,
    labelling,
    life,
    measuring,
    mixing,
    needles,
    preparing,
    reading,
    salts,
    sensitivities,
    standing,
    state,
    strength,
    tonicity,
    typed,
)
from drawndose.bench.safeguards.at_hand import AtHand
from drawndose.bench.safeguards.doses import Ordered, each_ordered
from drawndose.bench.safeguards.rule import Rule, in_order
from drawndose.bench.safeguards.seen import Seen
from drawndose.bench.safeguards.strength import Named, each_named

OF_A_WAY = (cup, diluent, measuring, enough, standing, sensitivities, mixing, tonicity, preparing, additives, counting)
"""The families that judge a way: what is taken, and how it is diluted."""

OF_A_CONTAINER = (life, state)
"""The families that judge one physical container at a moment."""

OF_A_PREPARATION = (labelling, reading, needles, giving)
"""The families that judge what was really made and given."""

OF_A_TEXT = (typed,)
"""The family that judges what a person typed or a label prints."""

OF_A_BENCH = (strength,)
"""The family that holds what is ordered against the containers that stand there, before any way is looked for."""

OF_AN_ORDER = (doses, salts, columns, how_often)
"""The families that judge what is ordered, whatever it is taken from: once for a plan."""


def findings(seen: Seen) -> tuple[Finding, ...]:
    """Every finding on a way, stops first."""
    return in_order(found for family in OF_A_WAY for one in family.RULES for found in one.findings(seen))


def container_findings(at_hand: AtHand) -> tuple[Finding, ...]:
    """Every finding on a container, stops first. Refused when its condition contradicts itself or the moment."""
    at_hand.condition.hold(at_hand.now)
    return in_order(found for family in OF_A_CONTAINER for one in family.RULES for found in one.findings(at_hand))


def preparation_findings(made: Preparation) -> tuple[Finding, ...]:
    """Every finding on a preparation as it stands, stops first."""
    return in_order(found for family in OF_A_PREPARATION for one in family.RULES for found in one.findings(made))


def bench_findings(named: tuple[Named, ...]) -> tuple[Finding, ...]:
    """Every finding on the containers of a bench as a whole, stops first."""
    return in_order(found for family in OF_A_BENCH for one in family.RULES for found in one.findings(named))


def order_findings(ordered: tuple[Ordered, ...]) -> tuple[Finding, ...]:
    """Every finding on what is ordered, stops first."""
    return in_order(found for family in OF_AN_ORDER for one in family.RULES for found in one.findings(ordered))


__all__ = [
    "OF_AN_ORDER",
    "OF_A_BENCH",
    "OF_A_CONTAINER",
    "OF_A_PREPARATION",
    "OF_A_TEXT",
    "OF_A_WAY",
    "AtHand",
    "Named",
    "Ordered",
    "Rule",
    "Seen",
    "bench_findings",
    "container_findings",
    "each_named",
    "each_ordered",
    "findings",
    "in_order",
    "order_findings",
    "preparation_findings",
]
