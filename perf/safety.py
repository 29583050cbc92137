"""How often the safeguards are silent when they must speak, and how often they stop what is right. Run by `make perf-safety`.

2,000 correct preparations are invented by seed over every presentation that can be ordered; then one fault after another is
planted in each. The two rates are the result: missed faults, and false stops. Nothing here is timed against a limit.
"""

import argparse
import sys
import time
from collections import Counter

from drawndose.bench.findings import Level
from tests.correct import BOOK, PLANTED, correct, grave


def main() -> int:
    """Print both rates. Exit status 1 when a fault was missed or a correct preparation was stopped."""
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
    return 1 if stops.total() or missed.total() or count < args.count else 0


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
