"""The cup while it runs: how long, how concentrated, how much of the drug has left. Cards of one balance of mass.

Droplets leave with the concentration that the cup then has, vapour leaves without drug, both at a steady rate:

    dV/dt = -W        dM/dt = -(1 - e) W M / V

This holds to the first sputter and no further: after it the output halves within 20 s and no more drug was delivered
(Chest 104:1114-1118, 1993). Of a fill under 3 mL in a jet it tells too short a time (J Aerosol Sci 23 S1:221, 1992).
"""

from __future__ import annotations

from typing import Final

import numpy as np

from drawndose.science.aerosol.numbers import Numbers, held, plain, refuse_if
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {
    "fill_mL": Range(0.05, 1000.0, "mL", "fill"),
    "left_mL": Range(0.001, 1000.0, "mL", "volume left"),
    "residual_mL": Range(0.001, 100.0, "mL", "residual volume"),
    "output_mL_min": Range(0.005, 20.0, "mL/min", "fall in weight as volume"),
    "evaporated": Range(0.0, 0.95, "", "share that is only water"),
    "minutes": Range(0.0, 6000.0, "min", "time"),
    "per_mL": Range(0.0, 1e6, "", "concentration"),
    "rise": Range(1.0, 1000.0, "", "rise in concentration"),
}
SPUTTERS: Final = "the fill is no more than what stays in the cup: nothing comes out"


def treatment_time(fill_mL: Numbers, residual_mL: Numbers, output_mL_min: Numbers) -> Numbers:
    """Time to the first sputter [min].

    Equation:  T = (V0 - Vr) / W
    Symbols:   V0   fill [mL]     Vr   residual volume [mL], less than V0     W   fall in weight as volume, droplets and
               vapour [mL/min]; ranges in VALID
    Source:    the balance of mass.
    Example:   4 mL, 1 mL stays, 0.35 mL/min: 8.6 min.

    >>> round(treatment_time(4.0, 1.0, 0.35), 2)
    8.57
    """
    held(VALID, fill_mL=fill_mL, residual_mL=residual_mL, output_mL_min=output_mL_min)
    _more_than(fill_mL, residual_mL, "residual_mL")
    return plain((fill_mL - residual_mL) / output_mL_min)


def concentration_rise(fill_mL: Numbers, left_mL: Numbers, evaporated: Numbers) -> Numbers:
    """How many times as concentrated the cup has become [1]. Osmolality rises alike, as far as it mixes ideally.

    Equation:  c / c0 = (V0 / V)^e
    Symbols:   V0   fill [mL]     V   what is left [mL], at most V0     e   share that is only water [1]; ranges in VALID
    Source:    the balance of mass; read to be the usual model (Clin Phys Physiol Meas 13:129-134, 1992).
    Example:   3 mL down to 1 mL with e = 0.3: 1.39 times.

    >>> round(concentration_rise(3.0, 1.0, 0.3), 4), concentration_rise(3.0, 0.1, 0.0)
    (1.3904, 1.0)
    """
    held(VALID, fill_mL=fill_mL, left_mL=left_mL, evaporated=evaporated)
    _more_than(fill_mL, left_mL, "left_mL")
    return plain((fill_mL / left_mL) ** evaporated)


def kept_share(fill_mL: Numbers, left_mL: Numbers, evaporated: Numbers) -> Numbers:
    """The share of the drug that is still in the cup [1].

    Equation:  M / M0 = (V / V0)^(1 - e)
    Symbols:   V0   fill [mL]     V   what is left [mL], at most V0     e   share that is only water [1]; ranges in VALID
    Source:    the balance of mass.
    Example:   3 mL down to 1 mL with e = 0.3 keeps 46 % of the drug in a third of the volume.

    >>> round(kept_share(3.0, 1.0, 0.3), 4)
    0.4635
    """
    held(VALID, fill_mL=fill_mL, left_mL=left_mL, evaporated=evaporated)
    _more_than(fill_mL, left_mL, "left_mL")
    return plain((left_mL / fill_mL) ** (1.0 - evaporated))


def emitted_share(fill_mL: Numbers, left_mL: Numbers, evaporated: Numbers) -> Numbers:
    """The share of the drug that has left the cup as droplets [1].

    Equation:  F = 1 - (V / V0)^(1 - e)
    Symbols:   as `kept_share`; for the whole run V is the residual volume; ranges in VALID
    Source:    the balance of mass. With e = 0 it is 1 - V / V0.
    Example:   of 3 mL 54 % leave, of 5 mL 68 % (1 mL stays, e = 0.3).

    >>> round(emitted_share(3.0, 1.0, 0.3), 4), round(emitted_share(5.0, 1.0, 0.3), 4)
    (0.5365, 0.6759)
    """
    return plain(1.0 - kept_share(fill_mL, left_mL, evaporated))


def released_share(fill_mL: Numbers, residual_mL: Numbers) -> Numbers:
    """The share of the fill, by weight, that has left: drug and water together [1].

    Equation:  1 - Vr / V0
    Symbols:   V0   fill [mL]     Vr   what stays [mL]; ranges in VALID
    Beware:    more than the share of the drug wherever water evaporates.
    Source:    the definition (gravimetric; Clin Phys Physiol Meas 11:167-175, 1990).
    Example:   3 mL of which 1.53 stay: 49 %.

    >>> round(released_share(3.0, 1.53), 2)
    0.49
    """
    held(VALID, fill_mL=fill_mL, residual_mL=residual_mL)
    _more_than(fill_mL, residual_mL, "residual_mL")
    return plain(1.0 - residual_mL / fill_mL)


def mean_droplets(fill_mL: Numbers, left_mL: Numbers, evaporated: Numbers) -> Numbers:
    """The mean concentration of the droplets over the run, as a multiple of the fill's own [1].

    Equation:  F V0 / ((1 - e) (V0 - V)), with F the `emitted_share`
    Symbols:   as `kept_share`, V less than V0; ranges in VALID
    Source:    the balance of mass: what left as drug over what left as droplets.
    Example:   3 mL down to 1 mL with e = 0.3: 1.15 times the fill.

    >>> round(mean_droplets(3.0, 1.0, 0.3), 3)
    1.15
    """
    out = emitted_share(fill_mL, left_mL, evaporated)
    refuse_if(fill_mL == left_mL, "left_mL", SPUTTERS, left_mL, "less than the fill")
    return plain(out * fill_mL / ((1.0 - evaporated) * (fill_mL - left_mL)))


def volume_after(fill_mL: Numbers, residual_mL: Numbers, output_mL_min: Numbers, minutes: Numbers) -> Numbers:
    """What the cup holds after a time [mL]; from the first sputter on the residual volume.

    Equation:  V = max(V0 - W t, Vr)
    Symbols:   V0, Vr   fill and residual volume [mL]     W   fall in weight as volume [mL/min]     t   time [min]; ranges in VALID
    Source:    the balance of mass; that nothing more leaves after the sputter is a study's finding (see the module).
    Example:   3 mL at 0.35 mL/min: 1.95 mL after 3 min, and what stays after 10.

    >>> round(volume_after(3.0, 1.0, 0.35, 3.0), 2), volume_after(3.0, 1.0, 0.35, 10.0)
    (1.95, 1.0)
    """
    held(VALID, fill_mL=fill_mL, residual_mL=residual_mL, output_mL_min=output_mL_min, minutes=minutes)
    _more_than(fill_mL, residual_mL, "residual_mL")
    return plain(np.maximum(fill_mL - output_mL_min * minutes, residual_mL))


def emission_rate(per_mL: Numbers, output_mL_min: Numbers, evaporated: Numbers, rise: Numbers = 1.0) -> Numbers:
    """Drug that leaves in a minute, in the unit of the concentration [.../min].

    Equation:  A c = (1 - e) W c0 (V0 / V)^e
    Symbols:   c0   concentration of the fill [.../mL]     W   fall in weight as volume [mL/min]     e   share that is only
               water [1]     (V0 / V)^e   `concentration_rise`, 1 at the start [1]; ranges in VALID
    Source:    the balance of mass. It rises as the run goes on.
    Example:   1 mg per mL at 0.35 mL/min with e = 0.3: 0.245 mg a minute at first.

    >>> round(emission_rate(1.0, 0.35, 0.3), 3)
    0.245
    """
    held(VALID, per_mL=per_mL, output_mL_min=output_mL_min, evaporated=evaporated, rise=rise)
    return plain((1.0 - evaporated) * output_mL_min * per_mL * rise)


def _more_than(fill_mL: Numbers, left_mL: Numbers, field: str) -> None:
    refuse_if(fill_mL < left_mL, field, SPUTTERS, left_mL, "less than the fill")
