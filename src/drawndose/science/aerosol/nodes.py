"""Where a spray is looked at, so that a mean over its sizes can be worked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from drawndose.science.budget import Values


@dataclass(frozen=True, slots=True)
class Nodes:
    """Where a spray is looked at: deviations from the median in standard deviations of ln d, with their shares of the mass."""

    at: Values
    weight: Values


def fine_nodes(count: int = 161, reach: float = 4.0) -> Nodes:
    """Even steps out to so many standard deviations: for one spray."""
    at = np.linspace(-reach, reach, count)
    weight = np.exp(-at * at / 2.0)
    return Nodes(at, weight / weight.sum())


def equal_nodes(count: int = 16) -> Nodes:
    """Parts of equal mass, each at its middle: few, for many trials. Within half a percentage point of the fine ones."""
    from scipy.special import ndtri

    return Nodes(ndtri((np.arange(count) + 0.5) / count), np.full(count, 1.0 / count))
