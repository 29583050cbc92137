"""How fast a cohort of the skills lab is analysed, and whether ten times the learners take ten times as long.

Run by `make perf-speed`. 10,000 learners, 20 tries, 19 steps, six of them critical, and a second evaluator on the last try of each: every
step's failures with intervals, the first tries as items, who passes when, each learner's CUSUM, the learning curve, and who is lenient.
The marks are invented, with a seed. The growth is told against linear: 1 is linear, less is better. Memory: the most that Python and
numpy held beyond the marks.
"""

import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable

import numpy as np

from drawndose.science.statistics.cohort import cohort
from drawndose.science.statistics.cusum import design
from drawndose.science.statistics.leniency import leniency

SIZES = (100, 1000, 10_000)
TRIES, STEPS, CRITICAL, EVALUATORS = 20, 19, 6, 4
SEED = 20261130
AIM_S = 10.0
"""An instructor waits for it; it is worked once for a page."""

AIM_GROWTH = 2.0
Marks = np.ndarray[tuple[int, ...], np.dtype[np.int8]]


def invented(learners: int) -> tuple[Marks, np.ndarray[tuple[int, ...], np.dtype[np.float64]]]:
    """Marks, and what two of four evaluators saw of each learner's last try."""
    chance = np.random.default_rng(SEED)
    able = chance.normal(0.0, 0.7, (learners, 1, 1))
    hard = np.linspace(1.2, 3.5, STEPS)
    height = able + hard + 0.35 * np.log2(np.arange(1, TRIES + 1))[None, :, None]
    marks = (chance.random((learners, TRIES, STEPS)) < 1.0 / (1.0 + np.exp(-height))).astype(np.int8)
    scores = np.full((EVALUATORS, learners, STEPS), np.nan)
    for learner in range(learners):
        for who in chance.permutation(EVALUATORS)[:2]:
            scores[who, learner] = marks[learner, -1] ^ (chance.random(STEPS) < 0.03)
    return marks, scores


def analysis(learners: int) -> Callable[[], object]:
    """Everything for so many learners, as one call."""
    marks, scores = invented(learners)
    made = design(0.2, 0.4, 0.1, 0.1)
    critical = [place < CRITICAL for place in range(STEPS)]

    def work() -> object:
        return cohort(marks, critical, [1] * STEPS, 80, made), leniency(scores)

    return work


def seconds(work: Callable[[], object]) -> float:
    """The middle of three calls, after one that does not count."""
    work()
    times = []
    for _ in range(3):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def held(work: Callable[[], object]) -> float:
    """Megabytes held at most during one call."""
    tracemalloc.start()
    work()
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return most / 1e6


def main() -> int:
    """Measure and print. Exit status 1 when the largest takes longer than the aim, or the growth is far from linear."""
    write = sys.stdout.write
    took = {}
    for learners in SIZES:
        work = analysis(learners)
        took[learners] = seconds(work)
        write(
            f"lab, {learners:,} learners x {TRIES} tries x {STEPS} steps: {took[learners]:.3f} s, {held(work):.1f} MB beyond the marks\n"
        )
    first, last = SIZES[0], SIZES[-1]
    growth = took[last] / took[first] / (last / first)
    middle = took[last] / took[SIZES[1]] / (last / SIZES[1])
    write(
        f"lab, growth from {first:,} to {last:,} learners: {growth:.2f} of linear (from {SIZES[1]:,}: {middle:.2f})\n"
    )
    write(f"lab, the largest: {took[last]:.2f} s (aim: at most {AIM_S:g} s, growth at most {AIM_GROWTH:g} of linear)\n")
    return 0 if took[last] <= AIM_S and growth <= AIM_GROWTH else 1


if __name__ == "__main__":
    raise SystemExit(main())
