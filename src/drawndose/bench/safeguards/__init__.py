"""Rules of safe preparation, one small module for each family, each with one `check(seen)` that yields findings.

A safeguard looks at what `Seen` holds and nothing else, changes nothing, and says both numbers.
"""

from drawndose.bench.findings import Finding
from drawndose.bench.safeguards import additives, counting, cup, diluent, enough, measuring, standing
from drawndose.bench.safeguards.seen import Seen

FAMILIES = (cup, diluent, measuring, enough, standing, additives, counting)


def findings(seen: Seen) -> tuple[Finding, ...]:
    """Every finding of every family, stops first."""
    found = [finding for family in FAMILIES for finding in family.check(seen)]
    order = {"stop": 0, "caution": 1, "note": 2}
    return tuple(sorted(dict.fromkeys(found), key=lambda finding: order[finding.level.value]))


__all__ = ["FAMILIES", "Seen", "findings"]
