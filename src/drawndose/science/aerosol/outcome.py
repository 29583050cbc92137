"""What comes of a set-up, told: bands of time, of what comes out, is breathed in, settles and stays; what matters most; in words.

Between the ends of every band lie 95 of 100 trials of the ranges that went in. That is how well the kind is known, and not how
often a patient gets so much. No number here is a dose, and none changes one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from drawndose.bench.findings import Finding
from drawndose.science.aerosol import task_group
from drawndose.science.aerosol.bands import (
    LEVEL_PERCENT,
    Found,
    amount_range,
    found,
    minutes_words,
    most_words,
    outward,
    range_words,
    share_words,
)
from drawndose.science.aerosol.cautions import cautions
from drawndose.science.aerosol.sensitivity import Share, shares_of_spread
from drawndose.science.aerosol.setup import SetUp, Through
from drawndose.science.aerosol.trials import SEED, TRIALS, Tried, try_setup

REGION_STEP: Final = 5.0
"""Percent to which a region's share is rounded: persons differ about twofold, so more would be invented."""

BALANCE: Final = (
    ("kept", "left in the cup"),
    ("lost", "lost to the room"),
    ("throat", "mouth and throat"),
    ("airways", "airways"),
    ("alveoli", "deep lung"),
    ("exhaled", "breathed out"),
)
"""The parts of the charge, which add to all of it."""

SETTLED: Final = frozenset({"throat", "airways", "alveoli", "lung", "exhaled"})

BALANCE_WITHOUT_REGIONS: Final = (*BALANCE[:2], ("inhaled", "breathed in"))

INPUTS: Final = {
    "fill": "the fill",
    "residual": "what stays in the cup",
    "output": "the output",
    "evaporated": "the share that is only water",
    "mmad_um": "the size of the droplets",
    "gsd": "the spread of their sizes",
    "inspiratory_ratio": "how much more it makes while breathing in",
    "flow": "the flow of gas",
    "tidal": "the volume of a breath",
    "rate": "the rate of breathing",
    "duty": "how long air goes in",
    "dead": "the dead space",
    "dead_share": "what the dead space takes",
    "chamber": "what the reservoir saves",
    "persons_throat": "persons, mouth and throat",
    "persons_lung": "persons, lung",
    "mouth_form": "the form of the mouth's filter",
}
"""Inputs for people."""

ASKED: Final = {
    "minutes": "the time",
    "emitted": "what comes out",
    "inhaled": "what is breathed in",
    "lung": "what settles in the lung",
}
"""The answers of which it is told what they owe to what."""


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What comes of a set-up. bands: by the names of `trials.answer`, shares of the charge unless the name says otherwise.

    owes: for each of ASKED, what it owes to which input, the largest first. upper_bound: what is breathed in, and all that
    follows from it, is the most that can be reached.
    """

    setup: SetUp
    bands: dict[str, Found]
    owes: dict[str, tuple[Share, ...]]
    findings: tuple[Finding, ...]
    trials: int
    seed: int

    @property
    def upper_bound(self) -> bool:
        """True behind a mask and for anyone but an adult: losses on the way are large there, and not known."""
        return self.setup.through is Through.MASK or bool(self.setup.no_regions)

    @property
    def balance(self) -> tuple[tuple[str, str, float], ...]:
        """The parts of the charge by name, in words, with their mean shares, which add to 1."""
        parts = BALANCE_WITHOUT_REGIONS if self.setup.no_regions else BALANCE
        return tuple((name, words, self.bands[name].mean) for name, words in parts)

    def share(self, name: str) -> str:
        """A share of the charge in words, with its amount where the charge is known; only the most where only that is known."""
        band, bound = self.bands[name], self.upper_bound and name in {*SETTLED, "inhaled"}
        step = REGION_STEP if bound or name in SETTLED else 1.0
        low, high = (min(max(end, 0.0), 100.0) for end in outward(100.0 * band.low, 100.0 * band.high, step))
        if bound:
            return f"{most_words(high / 100.0)}{self._amount(0.0, high, 'at most ')}"
        return f"{share_words(low / 100.0, high / 100.0, step_percent=step)}{self._amount(low, high)}"

    def _amount(self, low_percent: float, high_percent: float, only: str = "") -> str:
        """The amount of a share that was rounded already, in brackets; empty where the charge is not known."""
        dose = self.setup.dose
        if dose is None:
            return ""
        low, high = (float(dose.value) * end / 100.0 for end in (low_percent, high_percent))
        told = amount_range(low, high, str(dose.unit))
        return f" ({only}{told.removeprefix('0 to ') if only else told})"

    @property
    def minutes(self) -> str:
        """How long it runs."""
        return minutes_words(self.bands["minutes"].low, self.bands["minutes"].high)

    @property
    def rise(self) -> str:
        """How many times as concentrated the cup becomes."""
        band = self.bands["rise"]
        return "no change" if band.high < 1.005 else f"{range_words(max(band.low, 1.0), band.high, 0.1)} times"

    @property
    def osmolarity(self) -> str:
        """What the cup comes to, mOsm/L; empty where the fill's is not said."""
        first = self.setup.osmolarity
        if first is None:
            return ""
        band = self.bands["rise"]
        return range_words(first.low * band.low, first.high * band.high, 10.0, "mOsm/L")

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """The answer as a table: what, and its band."""
        ends = "stopped after" if self.setup.stop is not None else "to the first sputter"
        rows = [
            ("time", f"{self.minutes} {'' if self.setup.stop is not None else ends}".strip()),
            ("comes out", self.share("emitted")),
            ("breathed in", self.share("inhaled")),
        ]
        if not self.setup.no_regions:
            rows += [(words, self.share(name)) for name, words in BALANCE[2:]]
            rows.insert(3, ("lung in all", self.share("lung")))
        left = self.bands["left_mL"]
        rows += [
            ("left in the cup", f"{self.share('kept')} in {range_words(left.low, left.high, 0.1, 'mL')}"),
            ("concentration in the cup", self.rise),
        ]
        return (*rows, *([("osmolarity in the cup", self.osmolarity)] if self.osmolarity else []))

    @property
    def says(self) -> tuple[str, ...]:
        """What kind of answer it is, and what it is not."""
        lines = [
            f"Each range holds {LEVEL_PERCENT:g} of 100 of {self.trials:,} trials of what is known of the kind. An estimate, not a measurement.",
            *(
                f"Most of the spread of {ASKED[name]} comes from {INPUTS[owed[0].name]}."
                for name, owed in self.owes.items()
                if owed
            ),
        ]
        if self.upper_bound:
            lines.append(
                "What is breathed in is the most that can be reached: losses on mask and dead space are not known."
            )
        if self.setup.no_regions:
            return (*lines, f"No regions: {self.setup.no_regions}.")
        return (
            *lines,
            "Regions are of a healthy adult's model, not a measurement.",
            *(f"Limit: {one}." for one in task_group.LIMITS),
        )


def outcome(setup: SetUp, *, trials: int = TRIALS, seed: int = SEED) -> Outcome:
    """Work a set-up out. The same seed gives the same answer.

    >>> from drawndose.science.aerosol.boxes import read_setup
    >>> found = outcome(read_setup(["jet", "fill=3 mL", "dose=2.5 mg"]), trials=20_000)
    >>> found.minutes, found.share("emitted")
    ('1 to 9 min', '25 to 64 % (0.6 to 1.6 mg)')
    """
    return told(try_setup(setup, trials=trials, seed=seed))


def told(tried: Tried) -> Outcome:
    """The outcome of trials that were made."""
    varied = {name: values for name, values in tried.inputs.items() if _varies(tried.setup, name)}
    return Outcome(
        setup=tried.setup,
        bands={name: found(values) for name, values in tried.answers.items()},
        owes=shares_of_spread(varied, {name: tried.answers[name] for name in ASKED if name in tried.answers}),
        findings=cautions(tried.setup),
        trials=tried.trials,
        seed=tried.seed,
    )


def _varies(setup: SetUp, name: str) -> bool:
    """True for an input that is drawn and acts in this set-up."""
    bands = setup.bands
    if name in bands:
        return not bands[name].known
    if name == "chamber":
        return setup.reservoir
    if name == "dead_share":
        return setup.dead.high > 0
    if name == "mouth_form":
        return not setup.no_regions and setup.through is Through.MOUTHPIECE
    return not setup.no_regions
