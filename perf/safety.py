"""How often the safeguards are silent when they must speak, and how often they stop what is right. Run by `make perf-safety`.

2,000 correct preparations are invented by seed over every presentation that can be ordered; then one fault after another is
planted in each. The two rates are the result: missed faults, and false stops. Nothing here is timed against a limit.

Then every safeguard, and every rule of safe practice that is computed otherwise, is tried where it must speak and beside that,
where it must not; how many have both is counted.
"""

import argparse
import sys
import time
from collections import Counter

from drawndose.bench.findings import Level
from tests.both.every import BOTH, SAFEGUARDS, computed, of_rule, without
from tests.both.of_practice import ON_A_STORAGE
from tests.correct import BOOK, PLANTED, correct, grave


def main() -> int:
    """Print both rates. Exit status 1 when a fault was missed, a correct preparation was stopped, or a rule has nothing planted."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=20_261_125)
    args = parser.parse_args()
    start = time.perf_counter()
    stops: Counter[str] = Counter()
    cautions: Counter[str] = Counter()
    planted: Counter[str] = Counter()
    missed: Counter[str] = Counter()
    covered: set[str] = set()
    count = 0
    for one in correct(args.count, args.seed):
        count += 1
        covered.add(one.presentation.id)
        stops.update(grave(one.findings, Level.STOP))
        cautions.update(grave(one.findings, Level.CAUTION))
        for what, (rule, plant) in PLANTED.items():
            found = plant(one)
            if found is not None:
                planted[what] += 1
                missed[what] += rule not in {finding.rule for finding in found}
    seconds = time.perf_counter() - start
    _write(count, covered, stops, cautions, planted, missed, seconds)
    wrong = _both_ways()
    return 1 if stops.total() or missed.total() or count < args.count or wrong else 0


def _both_ways() -> int:
    """Try every pair, and say how many rules have one; how many are wrong or missing."""
    out = sys.stdout.write
    held = [(one.rule, *one.holds) for one in BOTH]
    deaf = [rule for rule, speaks, _ in held if not speaks]
    crying = [rule for rule, _, silent in held if not silent]
    safe, rules, bare = SAFEGUARDS & {one.rule for one in BOTH}, computed(), without()
    out(
        f"both ways: {len(BOTH)} contexts that must bring a rule up, {len(deaf)} missed; {len(BOTH)} near misses, {len(crying)} false\n"
    )
    out(f"  safeguards with both: {len(safe)} of {len(SAFEGUARDS)}\n")
    by_storage = sum(of_rule(ident, BOTH) == 1 and ident in ON_A_STORAGE for ident in rules)
    out(
        f"  computed rules of safe practice with both: {len(rules) - len(bare)} of {len(rules)}, "
        f"{by_storage} of them by tests of a storage, which are named and not run here\n"
    )
    for rule in [*deaf, *crying, *bare, *sorted(SAFEGUARDS - safe)]:
        out(f"    {rule}\n")
    return len(deaf) + len(crying) + len(bare) + len(SAFEGUARDS - safe)


def _write(
    count: int,
    covered: set[str],
    stops: Counter[str],
    cautions: Counter[str],
    planted: Counter[str],
    missed: Counter[str],
    seconds: float,
) -> None:
    every = {one.id for one in BOOK.presentations if not one.diluent}
    out = sys.stdout.write
    out(f"{count} correct preparations over {len(covered)} of {len(every)} presentations, {seconds:.0f} s\n")
    out(f"  not reached: {', '.join(sorted(every - covered)) or 'none'}\n")
    out(f"false stops: {stops.total()} of {count}\n")
    for rule, times in stops.most_common():
        out(f"  {rule:28} {times}\n")
    out(f"cautions on correct preparations: {cautions.total()}, {cautions.total() / count:.2f} each\n")
    for rule, times in cautions.most_common():
        out(f"  {rule:28} {times}\n")
    out(f"missed faults: {missed.total()} of {planted.total()} planted\n")
    for what, times in planted.most_common():
        out(f"  {what:28} {times:6} planted, {missed[what]} missed\n")


if __name__ == "__main__":
    sys.exit(main())
