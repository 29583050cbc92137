"""The figures of a class in words: each with its interval, or with the reason why there is none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp

from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.cohort.figures import (
    BORDERLINE,
    Limit,
    Together,
    form_figures,
    learning,
    limits,
    pass_mark,
    together,
)
from drawndose.lab.forms.form import Form, Step
from drawndose.science.statistics.estimable import Between, Estimate, NotEstimable
from drawndose.science.statistics.standards import Cut
from drawndose.science.words import chance_percent

MOST_ODDS = 6.9
"""ln 1,000, about."""
FEW = 10
"""With fewer learners, or attempts marked by two, it is said that the figures are hints. A setting, from memory."""


def share_words(value: Estimate) -> str:
    """A share in words; none and all are counted, and said as such."""
    if isinstance(value, NotEstimable):
        return str(value)
    return {0.0: "0 %", 1.0: "100 %"}.get(float(value)) or chance_percent(float(value))


def figure_words(value: Estimate) -> str:
    """A coefficient with two places, or why there is none."""
    return str(value) if isinstance(value, NotEstimable) else f"{float(value):.2f}".replace("-", "\N{MINUS SIGN}")


def with_interval(value: Estimate, between: Between) -> str:
    """A coefficient with its interval of 95 %, or with the reason why it has none. None is above 1: an end that runs past it is cut there."""
    if isinstance(value, NotEstimable):
        return str(value)
    if isinstance(between, NotEstimable):
        return f"{figure_words(value)}; interval {between}"
    return f"{figure_words(value)} ({figure_words(between.low)} to {figure_words(min(1.0, between.high))})"


@dataclass(frozen=True, slots=True, kw_only=True)
class StepWords:
    """One step as an item. between: the interval of its difficulty, "" where there is none."""

    step: Step
    did: str
    difficulty: str
    between: str
    corrected: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormWords:
    """A form over a class: how many learners were marked, counted and left out; its alpha; its steps."""

    learners: int
    counted: int
    left_out: int
    few: bool
    alpha: str
    rows: tuple[StepWords, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TryWords:
    """One attempt of a class: of how many that made it how many passed, with the share and its interval."""

    attempt: int
    passed: str
    share: str
    between: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LearningWords:
    """A class from attempt to attempt. odds: by how much each doubling of the attempts multiplies the odds to pass."""

    rows: tuple[TryWords, ...]
    odds: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TogetherWords:
    """All evaluators of a class. steps: how many were marked by two."""

    evaluators: int
    attempts: int
    steps: int
    few: bool
    figures: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitWords:
    """A limit of a line of attempts. way: the shortest way to it, or what it would take."""

    line: str
    limit: str
    way: str


def steps_words(tries: Sequence[Attempt], form: Form) -> FormWords | None:
    """The steps of a form as items, and the form as a whole; None before an attempt on it is decided."""
    found = form_figures(tries, form)
    if found is None:
        return None
    alpha = found.alpha
    return FormWords(
        learners=alpha.learners + alpha.left_out,
        counted=alpha.learners,
        left_out=alpha.left_out,
        few=alpha.learners < FEW,
        alpha=with_interval(alpha.value, alpha.interval),
        rows=tuple(
            StepWords(
                step=step,
                did=f"{one.did} of {one.answered}",
                difficulty=share_words(one.difficulty),
                between="" if isinstance(one.interval, NotEstimable) else _shares(one.interval),
                corrected=figure_words(one.corrected),
            )
            for step, one in found.steps
        ),
    )


def _shares(between: tuple[float, float]) -> str:
    return f"{share_words(max(0.0, between[0]))} to {share_words(min(1.0, between[1]))}"


def pass_mark_words(tries: Sequence[Attempt], form: Form) -> tuple[tuple[str, str], ...]:
    """The pass mark, in percent of the form, that the impressions would set: by the group's mean and by the line through everybody.

    Empty where nobody was rated borderline and no line can be laid.
    """
    found = pass_mark(tries, form)
    if isinstance(found.line, NotEstimable) and not found.group.rests_on:
        return ()
    return (
        (f"Mean of those rated {BORDERLINE} of 5", _cut(found.group)),
        (f"Line through everybody, at {BORDERLINE} of 5", _cut(found.regression)),
    )


def _cut(found: Cut) -> str:
    if isinstance(found.percent, NotEstimable):
        return str(found.percent)
    if isinstance(found.interval, NotEstimable):
        return f"{found.percent:.0f} %, of {found.rests_on}; interval {found.interval}"
    low, high = found.interval
    return f"{found.percent:.0f} % ({low:.0f} % to {high:.0f} %), of {found.rests_on}"


def learning_words(passed: Iterable[tuple[str, int, bool]]) -> LearningWords | None:
    """A class from attempt to attempt at one skill; None where nobody tried twice. passed: who, at which attempt, whether they passed."""
    found = learning(passed)
    if found is None:
        return None
    rows = tuple(
        TryWords(
            attempt=one.attempt,
            passed=f"{one.succeeded} of {one.learners}",
            share=share_words(one.share),
            between="" if isinstance(one.interval, NotEstimable) else _shares(one.interval),
        )
        for one in found.tries
    )
    curve = found.curve
    if isinstance(curve, NotEstimable):
        return LearningWords(rows=rows, odds=str(curve))
    odds = _odds(curve.slope)
    if isinstance(curve.interval, NotEstimable):
        return LearningWords(rows=rows, odds=f"{odds}; interval {curve.interval}")
    return LearningWords(rows=rows, odds=f"{odds} ({_odds(curve.interval.low)} to {_odds(curve.interval.high)})")


def _odds(log_odds: float) -> str:
    """A factor of the odds; one that no class can show is not written out."""
    if abs(log_odds) > MOST_ODDS:
        return "over 1,000" if log_odds > 0 else "under 0.001"
    return f"{exp(log_odds):.2f}"


def _figures(found: Together) -> tuple[tuple[str, str], ...]:
    """How many pairs of marks are alike, and every coefficient."""
    named = (
        (name, figure_words(value) if between is None else with_interval(value, between))
        for name, value, between in found.coefficients
    )
    return (("Pairs of marks alike", share_words(found.by.observed)), *named)


def together_words(tries: Sequence[Attempt], forms: Sequence[Form]) -> TogetherWords | None:
    """All evaluators of a class; None where no attempt was marked by two."""
    found = together(tries, forms)
    if found is None:
        return None
    return TogetherWords(
        evaluators=len(found.evaluators),
        attempts=found.attempts,
        steps=found.by.pairs,
        few=found.attempts < FEW,
        figures=_figures(found),
    )


def limits_words(attempts: int) -> tuple[LimitWords, ...]:
    """The limits that stand for so many attempts, and where there is none, how many it would take."""
    return tuple(_limit(one) for one in limits(attempts))


def _limit(one: Limit) -> LimitWords:
    if one.shortest is None:
        way = f"none; {one.needs} attempts at least must be allowed"
    else:
        way = f"{one.shortest} {one.alike} in a row"
        way += f"; of the competent {chance_percent(one.found)} reach it in time" if one.found is not None else ""
    return LimitWords(line=one.line, limit=figure_words(one.value), way=way)
