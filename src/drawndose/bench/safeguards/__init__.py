"""Rules of safe preparation, one small module for each family, each a tuple of `Rule`s.

A rule looks at the subject that it names and nothing else, changes nothing, and says both numbers.
"""

from drawndose.bench.findings import Finding
from drawndose.bench.safeguards import additives, counting, cup, diluent, enough, measuring, mixing, standing
from drawndose.bench.safeguards.rule import Rule, in_order
from drawndose.bench.safeguards.seen import Seen

OF_A_WAY = (cup, diluent, measuring, enough, standing, mixing, additives, counting)
"""The families that judge a way: what is taken, and how it is diluted."""


def findings(seen: Seen) -> tuple[Finding, ...]:
    """Every finding on a way, stops first."""
    return in_order(found for family in OF_A_WAY for one in family.RULES for found in one.findings(seen))


__all__ = ["OF_A_WAY", "Rule", "Seen", "findings"]
