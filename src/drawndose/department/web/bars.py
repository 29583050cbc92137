"""A budget as bars: every cause with its bar, its figures in words and its share; one scale for all budgets shown together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from drawndose.reference import Instrument
from drawndose.science.budget import Budget, Contribution
from drawndose.science.words import percent_words

FULL = 100.0
LEAST = 0.6
"""The bar of a cause that is there and too small to be seen is drawn this wide, so that it is not taken for none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One cause. width: of 100, as it is written into the picture; u and share in words."""

    name: str
    width: str
    u: str
    share: str


def longest(budgets: Iterable[Budget]) -> float:
    """The largest contribution of several budgets: the full length of their bars. 0 where there is none."""
    return max((part.u for one in budgets for part in one.contributions), default=0.0)


def bars(found: Budget, full: float, of: float, instrument: Instrument | None = None) -> tuple[Bar, ...]:
    """The bars of one budget. full: the contribution as long as a bar can be; of: the whole that shares are told of.

    instrument: the one that the page names already, and the bars need not.
    """
    return tuple(
        Bar(
            name=_short(part, instrument),
            width=f"{max(FULL * part.u / full, LEAST):.1f}",
            u=percent_words(part.u / of),
            share=percent_words(found.share(part)),
        )
        for part in found.contributions
    )


def _short(part: Contribution, instrument: Instrument | None) -> str:
    if instrument is None:
        return part.name
    return part.name.replace(f" of the {instrument.name}", "").replace(f" the {instrument.name}", "")
