"""What a liquid loses to the air while it is weighed: measured with a blank, or the house's estimate. Two cards."""

from __future__ import annotations

from typing import Final

from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {
    "lost_g": Range(0.0, 0.1, "g", "loss in the blank"),
    "blank_min": Range(0.1, 600.0, "min", "time of the blank"),
    "rate_g_per_min": Range(0.0, 0.02, "g/min", "rate of evaporation"),
    "minutes": Range(0.0, 600.0, "min", "time in the open"),
}

OPEN_VESSEL: Final = (0.0, 0.001)
"""Rate [g/min] when no blank was run: from nothing to 1 mg/min, the upper end of the house's own estimate for an open vessel
20 mm wide (0.5 to 1 mg/min). An estimate, not published: a setting, used only as an uncertainty."""


def evaporation_rate(lost_g: float, blank_min: float) -> float:
    """Rate of evaporation by a blank: the whole cycle run with an empty delivery [g/min].

    Equation:  r = m / T
    Symbols:   m   what the vessel lost in the blank [g]     T   how long the blank took [min]; ranges in VALID
    Source:    the blank cycle that a piston-pipette manual describes for the gravimetric method (a copy was read).
    Example:   3 mg in 5 minutes is 0.6 mg/min.

    >>> round(evaporation_rate(0.003, 5.0), 6)
    0.0006
    """
    hold(VALID, lost_g=lost_g, blank_min=blank_min)
    return lost_g / blank_min


def evaporated(rate_g_per_min: float, minutes: float) -> float:
    """What is added back for the time in which the liquid lay open [g].

    Equation:  m_evap = r t
    Symbols:   r   rate of evaporation [g/min]     t   time between delivery and reading [min]; ranges in VALID
    Source:    as `evaporation_rate`.
    Example:   0.6 mg/min for a minute and a half is 0.9 mg.

    >>> round(evaporated(0.0006, 1.5), 6)
    0.0009
    """
    hold(VALID, rate_g_per_min=rate_g_per_min, minutes=minutes)
    return rate_g_per_min * minutes
