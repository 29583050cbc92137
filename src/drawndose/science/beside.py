"""One volume in several instruments, side by side: what each permits, its budget, its chances, and what matters most in it.

An instrument that has no line for the volume gets no number at all, but the two lines that it has around it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.takes import percent
from drawndose.quantities import Fault, Manner, Refused, gather, nearest, read_quantity
from drawndose.reference import Instrument
from drawndose.science.budget import Budget, budget
from drawndose.science.drawing import Conditions, Measured, volume_model
from drawndose.science.montecarlo import SEED, TRIALS, Estimate, Trial, answers, summarize
from drawndose.science.surety import beyond
from drawndose.science.words import beyond_words, budget_words, percent_words, trial_words

FEWEST, MOST = 2, 4
LISTED = "`drawndose catalogue instruments`"
"""Where every instrument is listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What one instrument makes of the volume. permissible is exact, mL; budget and trial are in mL; beyond by shares."""

    permissible: Fraction
    budget: Budget
    trial: Trial
    beyond: tuple[tuple[Fraction, Estimate], ...]

    @property
    def within(self) -> float:
        """Half the interval of the trials, mL."""
        return (self.trial.high.value - self.trial.low.value) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """One instrument for the volume. judged: None where it has no line for it. around: the lines it has instead, if any."""

    instrument: Instrument
    volume: Fraction
    judged: Judged | None
    around: tuple[Fraction, Fraction] | None

    @property
    def name(self) -> str:
        """The instrument without its tip, which changes nothing in what it measures."""
        return self.instrument.name.partition(",")[0]

    @property
    def no_line(self) -> str:
        """Why there is no number; empty where there is one."""
        if self.judged is not None:
            return ""
        if self.around is None:
            return f"{ml(self.volume)} does not fit: it holds {ml(self.instrument.capacity)}."
        low, high = self.around
        below = f"{ml(low)} and {ml(high)}" if low else f"the end of its scale and its first line, {ml(high)}"
        return f"{ml(self.volume)} has no line on it: it lies between {below}."

    @property
    def says(self) -> tuple[str, ...]:
        """The answer in sentences."""
        if self.judged is None:
            return (self.no_line,)
        judged, volume = self.judged, float(self.volume)
        found, trial = judged.budget, judged.trial
        lines = [
            f"May be off by {ml(judged.permissible)}, {percent(judged.permissible / self.volume)}, either way.",
            budget_words(found, volume),
            f"{trial.level_percent:g} % of such draws are off by at most {percent_words(judged.within / volume)}.",
            f"Chance of being off {beyond_words(judged.beyond)}.",
            trial_words(trial, (one for _, one in judged.beyond), volume),
        ]
        if found.misleads:
            lines.append(f"The trials count here, not the expanded uncertainty: {found.misleads}.")
        if (first := found.dominant) is not None:
            lines.append(f"Most comes from {first.name}: {percent_words(found.share(first))} of the variance.")
        return tuple(lines)


def read_volume(text: str) -> Fraction:
    """The volume to compare, mL, as typed; a number alone is mL. Refused unless it is one above 0.

    >>> read_volume("0.5 mL"), read_volume(".5")
    (Fraction(1, 2), Fraction(1, 2))
    """
    typed = text.strip()
    typed = f"{typed} mL" if typed.replace(".", "").isdecimal() else typed
    volume = read_quantity(typed, field="volume", manner=Manner.READING)
    if volume.dimension != (("volume", 1),) or not volume.value:
        rule = "a volume of more than 0 is wanted"
        raise Refused([Fault(field="volume", rule=rule, came=text.strip()[:40], accepted="0.5 mL")])
    return volume.to("mL").value


def choose(idents: Sequence[str], known: Iterable[Instrument]) -> tuple[Instrument, ...]:
    """The instruments to stand side by side, by their ids. Refused unless they are two to four known ones, each once."""
    by_id = {one.id: one for one in known}
    faults = [
        Fault(
            field="instruments",
            rule="the instrument is not known here",
            came=one[:40],
            accepted=nearest(one, by_id, LISTED),
        )
        for one in idents
        if one not in by_id
    ]
    if not FEWEST <= len(idents) <= MOST or len(set(idents)) < len(idents):
        rule, came = "two to four instruments, each once, stand side by side", ", ".join(idents)[:80] or "none"
        faults.append(Fault(field="instruments", rule=rule, came=came, accepted="syringe-1, syringe-3"))
    gather(faults)
    return tuple(by_id[one] for one in idents)


def side_by_side(
    volume: Fraction,
    instruments: Iterable[Instrument],
    conditions: Conditions | None = None,
    *,
    level_percent: float = 95.0,
    trials: int = TRIALS,
    seed: int = SEED,
) -> tuple[Beside, ...]:
    """The volume in one fill of each instrument, in the order asked.

    >>> from drawndose import load
    >>> tools = [load().instrument(one) for one in ("syringe-1", "syringe-3", "syringe-5")]
    >>> for one in side_by_side(Fraction(1, 2), tools):
    ...     print(one.name, one.says[0])
    1 mL syringe May be off by 0.025 mL, 5 %, either way.
    3 mL syringe May be off by 0.055 mL, 11 %, either way.
    5 mL syringe 0.5 mL has no line on it: it lies between 0.4 mL and 0.6 mL.
    """
    settings = conditions or Conditions()
    return tuple(_one(volume, one, settings, level_percent, trials, seed) for one in instruments)


def _one(
    volume: Fraction, instrument: Instrument, conditions: Conditions, level_percent: float, trials: int, seed: int
) -> Beside:
    if not instrument.shows(volume):
        return Beside(instrument=instrument, volume=volume, judged=None, around=instrument.lines_around(volume))
    model = volume_model(Measured(tag="draw", instrument=instrument, fills=(volume,), conditions=conditions))
    found = answers(model, trials=trials, seed=seed)
    judged = Judged(
        permissible=instrument.permissible_error(volume),
        budget=budget(model, level_percent),
        trial=summarize(found, level_percent=level_percent, seed=seed),
        beyond=beyond(found / float(volume), 1.0),
    )
    return Beside(instrument=instrument, volume=volume, judged=judged, around=None)


def surest(found: Iterable[Beside]) -> Beside | None:
    """The one with the narrowest interval; None where none has a line."""
    return min(
        (one for one in found if one.judged is not None),
        key=lambda one: (one.judged.within, one.instrument.capacity, one.instrument.id),  # type: ignore[union-attr]
        default=None,
    )
