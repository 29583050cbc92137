"""The pictures of the skills lab: step map, CUSUM of a learner, drawn volumes against their targets, evaluators side by side, the board.

Each has a name, words and a table that say the same. No picture needs its colours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.drawing import Figure
from drawndose.science.statistics import cusum
from drawndose.science.statistics.charts import (
    Along,
    Axis,
    Sign,
    along_chart,
    axis_through,
    board_chart,
    cells_chart,
    steps_chart,
)
from drawndose.science.statistics.estimable import Interval, NotEstimable, refused
from drawndose.science.statistics.leniency import Gap, Leniency

WIDEST = 20.0
"""Volumes further than so many percent from their target are told in words and stand at the end of the axis."""


def step_map(
    ident: str, of: str, steps: Sequence[str], failed: Sequence[Sequence[int]], seen: Sequence[Sequence[int]]
) -> Figure:
    """Which step fails on which try. failed, seen: a row for each step, a column for each try."""
    if not steps or not len(steps) == len(failed) == len(seen) or len({len(row) for row in (*failed, *seen)}) != 1:
        raise refused(
            "steps",
            "one row for each step, one column for each try",
            f"{len(steps)}, {len(failed)}, {len(seen)}",
            "as many rows",
        )
    tries = len(failed[0])
    rows = []
    for bad, count in zip(failed, seen, strict=True):
        pairs = [(int(one), int(all_)) for one, all_ in zip(bad, count, strict=True)]
        rows.append([(f"{one} of {all_}" if all_ else "not seen", one / all_ if all_ else None) for one, all_ in pairs])
    labels = [f"{place}  {step}" for place, step in enumerate(steps, start=1)]
    return Figure(
        ident=ident,
        kind="step map",
        name=f"Steps not done, try by try: {of}.",
        words=(
            "Each box is one step on one try: how many did not do it, of how many were seen. The bar is that share of the box.",
        ),
        rows=tuple(
            (label, "; ".join(f"try {place}: {words}" for place, (words, _) in enumerate(row, start=1)))
            for label, row in zip(labels, rows, strict=True)
        ),
        svg=cells_chart(ident, [f"try {place + 1}" for place in range(tries)], list(zip(labels, rows, strict=True))),
    )


def cusum_picture(ident: str, of: str, outcomes: Sequence[bool], design: cusum.Design) -> Figure:
    """The line of one learner between the two limits, up to the first that is met."""
    made = cusum.path(outcomes, design)
    used = outcomes[: len(made.values)]
    failures = list(used).count(False)
    if made.first is not None:
        said = f"acceptable at try {made.first}"
    elif made.unacceptable_at:
        said = f"unacceptable at try {made.unacceptable_at[0]}"
    else:
        said = f"not decided after {len(used)}"
    limits = ((design.upper, "unacceptable"), (-design.lower, "acceptable"))
    return Figure(
        ident=ident,
        kind="cusum",
        name=f"CUSUM of {of}: {said}.",
        words=(
            "An open ring is a try that succeeded, a filled dot one that failed. The line falls with a success and rises with a failure.",
            f"At the lower broken line failures are as rare as {100 * design.p0:g} %; at the upper one as frequent as {100 * design.p1:g} %.",
        ),
        rows=(
            ("tries", str(len(used))),
            ("failures", str(failures)),
            ("the line stands at", f"{made.values[-1]:.2f}" if made.values else "0"),
            ("limits", f"{-design.lower:.2f} and {design.upper:.2f}"),
            ("result", said),
        ),
        svg=steps_chart(ident, made.values, used, limits),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A volume that was drawn: target, tolerance and what was found, all in mL; spread: between which it lies; verdict: in words."""

    who: str
    target: float | Fraction
    low: float | Fraction
    high: float | Fraction
    found: float
    verdict: str
    spread: tuple[float, float] | None = None


def volumes_picture(ident: str, of: str, draws: Sequence[Drawn]) -> Figure:
    """What was drawn, as percent off its target, in the tolerance of each."""
    if not draws:
        raise refused("draws", "one draw at least", "none", "1 or more")
    rows, table = [], []
    for one in draws:
        target = float(one.target)
        band = tuple(100.0 * (float(end) / target - 1.0) for end in (one.low, one.high))
        spread = None if one.spread is None else tuple(100.0 * (end / target - 1.0) for end in one.spread)
        off = 100.0 * (one.found / target - 1.0)
        told = f"{one.found:.3g} mL of {target:g} mL, {one.verdict}"
        rows.append(
            Along(
                label=f"{one.who}: {told}",
                band=(band[0], band[1]),
                spread=None if spread is None else (spread[0], spread[1]),
                point=off,
            )
        )
        table.append(
            (one.who, f"{told}; accepted {float(one.low):g} to {float(one.high):g} mL; {off:+.1f} %".replace("-", "−"))
        )
    return Figure(
        ident=ident,
        kind="drawn volumes",
        name=f"Drawn volume against its target: {of}.",
        words=(
            "Percent off the target. The brackets are what is accepted, the dot what was found, the line through it how surely.",
            f"Further than {WIDEST:g} % off, an arrow at the end stands for it.",
        ),
        rows=tuple(table),
        svg=along_chart(ident, rows, Axis(-WIDEST, WIDEST, 10.0), "% off"),
    )


def evaluators_picture(ident: str, found: Leniency, names: Sequence[str]) -> Figure:
    """Each evaluator against the others who scored the same tries."""
    if len(names) != len(found.overall):
        raise refused("names", "one for each evaluator", len(names), str(len(found.overall)))
    rows, table = [], []
    for name, gap in zip(names, found.overall, strict=True):
        on = [one for one in found.by_step if one.evaluator == gap.evaluator and one.named]
        steps = "".join(f"; {_side(one)} on step {one.step}" for one in on)
        rows.append(
            Along(label=f"{name}: {_gap_words(gap)}", spread=_percent(gap.interval), point=_points(gap.difference))
        )
        told = str(gap.difference) if isinstance(gap.difference, NotEstimable) else _gap_words(gap)
        table.append((name, f"{told}; {_counted(gap.tries)} scored by others too{steps}"))
    ends = [end for row in rows for end in (*(row.spread or ()), row.point or 0.0)]
    return Figure(
        ident=ident,
        kind="evaluators",
        name="Evaluators side by side: own score less the others' on the same tries.",
        words=(
            "Percent of the steps. Right of 0 is more lenient than the others, left of it more severe; the line is the interval, widened for the number of comparisons.",
            "Who is named lenient or severe is set aside before the others are compared. Without such a word nothing is known against chance.",
        ),
        rows=tuple(table),
        svg=along_chart(ident, rows, axis_through(max(min([*ends, -1.0]), -100.0), min(max([*ends, 1.0]), 100.0)), "%"),
    )


def board_picture(ident: str, of: str, skills: Sequence[str], people: Sequence[tuple[str, Sequence[Sign]]]) -> Figure:
    """Who, which skill, which state. people: a name, and a sign for each skill."""
    wrong = [name for name, signs in people if len(signs) != len(skills)]
    if not skills or not people or wrong:
        raise refused("people", "one sign for each skill", wrong or "nobody", f"{len(skills)} signs each")
    return Figure(
        ident=ident,
        kind="board",
        name=f"Who may do what: {of}.",
        words=tuple(f"{place}: {skill}." for place, skill in enumerate(skills, start=1)),
        rows=tuple(
            (name, "; ".join(f"{skill}: {sign.value}" for skill, sign in zip(skills, signs, strict=True)))
            for name, signs in people
        ),
        svg=board_chart(ident, len(skills), people),
    )


def _points(value: object) -> float | None:
    return 100.0 * value if isinstance(value, float) else None


def _percent(between: object) -> tuple[float, float] | None:
    return (100.0 * between.low, 100.0 * between.high) if isinstance(between, Interval) else None


def _counted(tries: int) -> str:
    return "1 try" if tries == 1 else f"{tries} tries"


def _side(gap: Gap) -> str:
    return "lenient" if gap.lenient else "severe"


def _gap_words(gap: Gap) -> str:
    if isinstance(gap.difference, NotEstimable):
        return "not estimable"
    by = f"{100.0 * gap.difference:+.1f} %".replace("-", "−")
    return f"{by}, {_side(gap)}" if gap.named else by
