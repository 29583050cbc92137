"""How fast a range of aerosol is: scenarios a second for 100,000 draws, and as a multiple of drawing the same random numbers alone.

Run by `make perf-speed`. A scenario is one draw of every input with every answer worked: time, cup, breath, and where a spray of
sixteen sizes settles, which is most of it; the same without regions is told beside it. The aim is two seconds for a whole range.
"""

import statistics
import sys
from collections.abc import Callable

import numpy as np
from speed import timed

from drawndose.science.aerosol.boxes import read_setup
from drawndose.science.aerosol.outcome import told
from drawndose.science.aerosol.trials import BLOCK, CHANCES, SEED, TRIALS, try_setup

AIM_S = 2.0
ADULT = ["jet", "fill=3 mL", "flow=8 L/min"]
CHILD = [*ADULT, "breath=child", "through=mask"]


def numbers_alone(count: int) -> Callable[[], object]:
    """The random numbers of one range, block by block, and nothing done with them."""

    def work() -> object:
        chance = np.random.default_rng(SEED)
        return [chance.random(BLOCK) for _ in range(count * TRIALS // BLOCK)]

    return work


def main() -> int:
    """Measure and print. Exit status 1 when a range takes longer than the aim."""
    write = sys.stdout.write
    slowest = 0.0
    for name, words in (("with regions", ADULT), ("without regions", CHILD)):
        setup = read_setup(words)
        count = len(setup.bands) + len(CHANCES)
        bare = numbers_alone(count)
        # In turns, so that a busy spell of the machine falls on both.
        pairs = [(timed(lambda setup=setup: try_setup(setup), 3)[1], timed(bare, 3)[1]) for _ in range(3)]
        tried, ratio = statistics.median(a for a, _ in pairs), statistics.median(a / b for a, b in pairs)
        slowest = max(slowest, tried)
        write(
            f"aerosol, {name}: {TRIALS / tried:,.0f} scenarios per second ({count} inputs, {TRIALS:,} in {tried * 1e3:.0f} ms)\n"
        )
        write(f"aerosol, {name}, as a multiple of the bare random numbers: {ratio:.0f}\n")
    made = try_setup(read_setup(ADULT))
    share = statistics.median(timed(lambda: told(made), 5))
    write(f"aerosol, bands and what matters most out of these trials: {share * 1e3:.0f} ms\n")
    write(f"aerosol, one range: {slowest:.2f} s (aim: at most {AIM_S:g} s)\n")
    return 0 if slowest <= AIM_S else 1


if __name__ == "__main__":
    raise SystemExit(main())
