"""How fast the ranges are, measured in one run: budgets, trials of a budget, and how sure a whole plan is.

Run by `make perf-speed`. A trial is held against what cannot be spared, drawing the same random numbers alone with numpy:
the aim is at most three times as long. The shape is a draw with every cause: two rectangles, a temperature, a person.
"""

import statistics
import sys
from collections.abc import Callable
from fractions import Fraction
from math import isinf

import numpy as np
from speed import ONE, timed

from drawndose import every_pack, load, plan, read_order
from drawndose.science.budget import Model, Shape, Term
from drawndose.science.drawing import Conditions, Measured, Operator, volume_budget, volume_model
from drawndose.science.montecarlo import SEED, TRIALS, simulate
from drawndose.science.surety import how_sure

AIM = 3.0


def numbers_alone(model: Model) -> Callable[[], object]:
    """The random numbers of one trial run, and nothing done with them."""

    def drawn(term: Term, chance: np.random.Generator) -> object:
        if term.shape is not Shape.NORMAL:
            return chance.random(TRIALS)
        return chance.standard_normal(TRIALS) if isinf(term.nu) else chance.standard_t(term.nu, TRIALS)

    def work() -> object:
        chance = np.random.default_rng(SEED)
        return [drawn(term, chance) for term in model.terms]

    return work


def main() -> int:
    """Measure and print. Exit status 1 when the trials take longer than the aim."""
    book = load()
    one = Measured(
        tag="draw",
        instrument=book.instrument("syringe-1"),
        fills=(Fraction(2, 5),),
        conditions=Conditions(operator=Operator(cv=0.03)),
    )
    model = volume_model(one)
    budgets = statistics.median(timed(lambda: volume_budget(one), 300))
    # In turns, so that a busy spell of the machine falls on both.
    pairs = [(timed(lambda: simulate(model), 3)[1], timed(numbers_alone(model), 3)[1]) for _ in range(15)]
    trial, ratio = statistics.median(a for a, _ in pairs), statistics.median(a / b for a, b in pairs)
    bottle = every_pack([book.presentation("albuterol-0.5pct-bottle-20ml"), *book.diluents])
    made = plan(read_order(ONE, catalogue=book), containers=bottle, instruments=[*book.instruments, book.cups[0]])
    sure = statistics.median(timed(lambda: how_sure(made), 40))
    write = sys.stdout.write
    write(f"budgets per second: {1 / budgets:,.0f} ({len(model.terms)} causes)\n")
    write(
        f"trials per second: {TRIALS / trial:,.0f} ({len(model.terms)} causes, {TRIALS:,} trials in {trial * 1e3:.1f} ms)\n"
    )
    write(f"trials, as a multiple of drawing the same random numbers alone: {ratio:.2f} (aim: at most {AIM:g})\n")
    write(f"how_sure of one plan, alone: {sure * 1e3:.1f} ms\n")
    return 0 if ratio <= AIM else 1


if __name__ == "__main__":
    raise SystemExit(main())
