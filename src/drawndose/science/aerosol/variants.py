"""One thing changed at a time: more fill, tapping, stopping early. The same draws before and after, so the change itself has a band."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from drawndose.quantities import Refused
from drawndose.science.aerosol.bands import Band, Found, found, minutes_words, share_words
from drawndose.science.aerosol.setup import SetUp
from drawndose.science.aerosol.trials import SEED, Drawn, answer, draw

TRIALS: Final = 20_000
FILLS_ML: Final = (2.0, 3.0, 4.0, 5.0)
"""The fills that are set beside one another for a small nebulizer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One way of doing it: what comes out and how long it takes; more: how much more comes out than in the way before, a share of
    the charge, None for the first."""

    says: str
    emitted: Found
    minutes: Found
    more: Found | None = None

    @property
    def row(self) -> tuple[str, str, str]:
        """What is done, what comes out, and how long it takes."""
        return (
            self.says,
            share_words(self.emitted.low, self.emitted.high),
            minutes_words(self.minutes.low, self.minutes.high),
        )

    @property
    def gain(self) -> str:
        """How much more comes out than in the way before, in points of a percent; empty for the first."""
        if self.more is None:
            return ""
        if self.more.high <= 0.0:
            return f"{share_words(-self.more.high, -self.more.low)} of the charge less"
        return f"{share_words(self.more.low, self.more.high)} of the charge more"


def by_fill(setup: SetUp, fills_mL: Iterable[float] = FILLS_ML, *, seed: int = SEED) -> tuple[Variant, ...]:
    """The same charge in several fills, from less to more. A fill of which nothing can come out is left away.

    >>> from drawndose.science.aerosol.boxes import read_setup
    >>> for one in by_fill(read_setup(["jet", "fill=3 mL"]), [2.0, 3.0, 4.0]):
    ...     print(*filter(None, (*one.row, one.gain)), sep=", ")
    2 mL, 1 to 50 %, 0 to 5 min
    3 mL, 25 to 64 %, 1 to 9 min, 13 to 28 % of the charge more
    4 mL, 37 to 72 %, 3 to 14 min, 7 to 15 % of the charge more
    """
    ways: list[tuple[str, SetUp]] = []
    for fill in sorted(fills_mL):
        try:
            ways.append((Band.at(fill).told("mL"), replace(setup, fill=Band.at(fill))))
        except Refused:
            continue  # all of it stays in the cup
    return _beside(ways, seed)


def by_tapping(setup: SetUp, *, seed: int = SEED) -> tuple[Variant, ...]:
    """To the first sputter, and tapped to the end; none where nothing is known of tapping."""
    if setup.nebulizer.tapped is None or "residual" in setup.figures:
        return ()
    return _beside(
        [("to the first sputter", replace(setup, tapped=False)), ("tapped", replace(setup, tapped=True))], seed
    )


def by_stopping(setup: SetUp, minutes: Iterable[float], *, seed: int = SEED) -> tuple[Variant, ...]:
    """Stopped after so many minutes, from early to late, and at the first sputter, after which nothing more comes."""
    early = [(f"stopped after {Band.at(one).told('min')}", replace(setup, stop=one)) for one in sorted(minutes)]
    return _beside([*early, ("to the first sputter", replace(setup, stop=None))], seed)


def _beside(ways: Iterable[tuple[str, SetUp]], seed: int) -> tuple[Variant, ...]:
    made: list[Variant] = []
    before: Drawn | None = None
    for says, setup in ways:
        now = answer(setup, draw(setup, TRIALS, np.random.default_rng(seed)), regions=False)
        more = found(now["emitted"] - before["emitted"]) if before is not None else None
        made.append(Variant(says=says, emitted=found(now["emitted"]), minutes=found(now["minutes"]), more=more))
        before = now
    return tuple(made)
