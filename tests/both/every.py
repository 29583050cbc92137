"""Every pair together, and what has none: used by the tests and by `make perf-safety`."""

from __future__ import annotations

from collections.abc import Iterable

from drawndose.bench import safeguards
from drawndose.bench.safeguards import scanned
from drawndose.reference import load
from drawndose.reference.rule_text import Kept, Part
from tests.both import of_practice, of_the_rest, of_ways
from tests.both.pair import Both

BOTH = [*of_ways.pairs(), *of_the_rest.pairs(), *of_practice.pairs()]
_FAMILIES = [family for name in dir(safeguards) if name.startswith("OF_") for family in getattr(safeguards, name)]
SAFEGUARDS = {one.id for family in (*_FAMILIES, scanned) for one in family.RULES}
"""The ids of every safeguard, those of a scan too."""


def computed() -> dict[str, set[str]]:
    """Every computed rule of safe practice with the safeguards that keep it."""
    return {
        one.id: {keeper.name for keeper in one.kept_by if keeper.part is Part.RULE}
        for one in load().rules.values()
        if one.kept is Kept.COMPUTED
    }


def of_rule(ident: str, both: Iterable[Both]) -> int:
    """How many pairs a computed rule has: its own, those of its safeguards, and one where tests of a storage are named."""
    keepers = computed()[ident] | {ident}
    return sum(one.rule in keepers for one in both) + (ident in of_practice.ON_A_STORAGE)


def without(both: Iterable[Both] = tuple(BOTH)) -> list[str]:
    """The computed rules that have none."""
    given = list(both)
    return [ident for ident in computed() if not of_rule(ident, given)]
