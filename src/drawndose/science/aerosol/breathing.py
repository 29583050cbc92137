"""Which share of a running aerosol is breathed in: by the breath, the gas and the nebulizer. Cards.

A nebulizer that runs all the time loses what it makes while the patient breathes out. While the breath draws less than the
gas that drives it, part of the aerosol passes by even then; once it draws more, air is entrained and all of it is taken
(Lancet 336:341-343, 1990). Each share is of what leaves the nebulizer, before any loss on mask, tubing or connector, so it
is the most that can be reached.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi
from typing import Final

import numpy as np

from drawndose.science.aerosol.numbers import Numbers, held, plain
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {
    "tidal_mL": Range(5.0, 4000.0, "mL", "volume of a breath"),
    "rate": Range(2.0, 120.0, "breaths a minute", "rate of breathing"),
    "duty": Range(0.05, 0.95, "", "share of a breath in which air goes in"),
    "flow_L_min": Range(0.1, 30.0, "L/min", "flow of gas"),
    "emitted": Range(0.0, 1.0, "", "share that leaves the cup"),
    "ratio": Range(1.0, 20.0, "", "output while breathing in over that while breathing out"),
    "taken": Range(0.0, 1.0, "", "share of the aerosol of an inspiration that is taken"),
    "minutes": Range(0.0, 6000.0, "min", "time that it runs"),
    "dead_mL": Range(0.0, 500.0, "mL", "dead space"),
    "height": Range(0.0, 1e4, "", "height of the wave"),
}


def duty_of(inspiration: float, expiration: float) -> float:
    """The share of a breath in which air goes in, out of the ratio of its two parts [1].

    Equation:  I / (I + E)
    Symbols:   I, E   the two parts as they are told, 1:2 [1]; more than 0, at most 100
    Source:    the definition.
    Example:   1:3 is a quarter.

    >>> duty_of(1.0, 3.0)
    0.25
    """
    parts = {name: Range(0.01, 100.0, "", "part of the ratio") for name in ("inspiration", "expiration")}
    held(parts, inspiration=inspiration, expiration=expiration)
    return inspiration / (inspiration + expiration)


def peak_flow(tidal_mL: Numbers, rate: Numbers, duty: Numbers) -> Numbers:
    """The highest flow of a breath drawn as half a sine [L/min].

    Equation:  Vp = pi VT / (2 Ti), Ti = duty / f
    Symbols:   VT   volume of a breath [mL]     f   breaths a minute [1/min]     duty   share in which air goes in [1]; ranges
               in VALID
    Source:    derived: the sine holds VT.
    Example:   500 mL, 15 a minute, half of it in: 23.6 L/min.

    >>> round(peak_flow(500.0, 15.0, 0.5), 2)
    23.56
    """
    held(VALID, tidal_mL=tidal_mL, rate=rate, duty=duty)
    return plain(pi * tidal_mL * rate / (2.0 * duty) / 1000.0)


def inhaled_of_sine(tidal_mL: Numbers, rate: Numbers, duty: Numbers, flow_L_min: Numbers) -> Numbers:
    """Share of a steady aerosol that a breath drawn as half a sine takes in [1].

    Equation:  f = (1 / Ttot) integral over Ti of min(1, V(t) / Q)
               Q >= Vp: VT f / Q        Q < Vp: duty (1 - 2 a / pi) + (VT f / Q) (1 - cos a), a = asin(Q / Vp)
    Symbols:   VT   volume of a breath [mL]     f   breaths a minute [1/min]     duty [1]     Q   flow of the gas that drives
               the nebulizer [L/min]     Vp   `peak_flow`; ranges in VALID
    Source:    derived; the mechanism was read (see the module).
    Example:   an adult's test breath at 6 L/min takes 46 %, a neonate's 17 %.

    >>> round(inhaled_of_sine(500.0, 15.0, 0.5, 6.0), 3), round(inhaled_of_sine(25.0, 40.0, 0.25, 8.0), 3)
    (0.459, 0.125)
    """
    held(VALID, flow_L_min=flow_L_min)
    peak, drawn = peak_flow(tidal_mL, rate, duty), tidal_mL * rate / 1000.0 / flow_L_min
    angle = np.arcsin(np.minimum(flow_L_min / peak, 1.0))
    over = duty * (1.0 - 2.0 * angle / pi) + drawn * (1.0 - np.cos(angle))
    return plain(np.where(flow_L_min >= peak, drawn, over))


def inhaled_of_square(tidal_mL: Numbers, rate: Numbers, duty: Numbers, flow_L_min: Numbers) -> Numbers:
    """Share of a steady aerosol that a breath of even flow takes in [1].

    Equation:  f = min(duty, VT f / Q)
    Symbols:   as `inhaled_of_sine`; ranges in VALID
    Source:    derived, as `inhaled_of_sine`.
    Example:   500 mL, 15 a minute, half of it in, 6 L/min: all of every inspiration, 50 %.

    >>> inhaled_of_square(500.0, 15.0, 0.5, 6.0), inhaled_of_square(50.0, 30.0, 0.25, 8.0)
    (0.5, 0.1875)
    """
    held(VALID, tidal_mL=tidal_mL, rate=rate, duty=duty, flow_L_min=flow_L_min)
    return plain(np.minimum(duty, tidal_mL * rate / 1000.0 / flow_L_min))


def inhaled_of_wave(
    heights: Sequence[float], tidal_mL: Numbers, rate: Numbers, duty: Numbers, flow_L_min: Numbers
) -> Numbers:
    """Share of a steady aerosol that a breath of a wave of one's own takes in [1].

    Equation:  f = duty mean of min(1, V_i / Q), V_i = (VT f / duty) h_i / mean(h)
    Symbols:   h_i   heights of the flow at equal times over the inspiration, in any unit; not all 0     the others as
               `inhaled_of_sine`; ranges in VALID
    Source:    derived: the integral of `inhaled_of_sine` as a sum.
    Example:   one height is the square wave.

    >>> inhaled_of_wave([1.0], 500.0, 15.0, 0.5, 6.0), round(inhaled_of_wave([1.0, 3.0, 2.0], 155.0, 25.0, 1 / 3, 6.0), 3)
    (0.5, 0.33)
    """
    held(VALID, tidal_mL=tidal_mL, rate=rate, duty=duty, flow_L_min=flow_L_min, height=np.asarray(heights, dtype=float))
    mean = float(np.mean(heights))
    held({"height": Range(1e-9, 1e4, "", "mean height of the wave")}, height=mean)
    drawn = tidal_mL * rate / 1000.0 / duty / flow_L_min
    taken = sum(np.minimum(drawn * one / mean, 1.0) for one in heights)
    return plain(duty * taken / len(heights))


def most_inhaled(tidal_mL: Numbers, rate: Numbers, flow_L_min: Numbers) -> Numbers:
    """The most that a reservoir or holding chamber can lift the inhaled share to [1].

    Equation:  min(1, VT f / Q)
    Symbols:   as `inhaled_of_sine`; ranges in VALID
    Source:    derived: no more aerosol is drawn than gas; what the chamber itself keeps is not counted.
    Example:   500 mL, 15 a minute, 8 L/min: 94 %.

    >>> round(most_inhaled(500.0, 15.0, 8.0), 2)
    0.94
    """
    held(VALID, tidal_mL=tidal_mL, rate=rate, flow_L_min=flow_L_min)
    return plain(np.minimum(1.0, tidal_mL * rate / 1000.0 / flow_L_min))


def inhaled_without_gas(emitted: Numbers, duty: Numbers) -> Numbers:
    """Share of the charge that is breathed in out of a nebulizer that no gas drives (mesh, ultrasonic) [1].

    Equation:  F duty
    Symbols:   F   share that leaves the cup [1]     duty   share of a breath in which air goes in [1]; ranges in VALID
    Source:    derived: what is made while breathing in is taken. Measured 30.0 and 53.9 % with a duty of 0.35 and 0.70
               (J Aerosol Med Pulm Drug Deliv 2014); F was fitted to the first, so only the second is a check, and it lies
               a tenth under the model.
    Example:   86 % leave, 70 % of the time air goes in: 60 %.

    >>> round(inhaled_without_gas(0.86, 0.7), 3)
    0.602
    """
    held(VALID, emitted=emitted, duty=duty)
    return plain(emitted * duty)


def inhaled_enhanced(duty: Numbers, ratio: Numbers, taken: Numbers = 1.0) -> Numbers:
    """Share of the aerosol of a breath-enhanced nebulizer that is breathed in [1].

    Equation:  f = r d g / (r d + 1 - d)
    Symbols:   d   share of a breath in which air goes in [1]     r   output while breathing in over that while breathing
               out [1]     g   share of the aerosol of an inspiration that is taken [1]; ranges in VALID
    Source:    derived. With r = 1 it is the steady nebulizer's.
    Example:   44 % of the time in, 3.44 times as much then: 73 %.

    >>> round(inhaled_enhanced(0.44, 3.44), 2), inhaled_enhanced(0.5, 1.0)
    (0.73, 0.5)
    """
    held(VALID, duty=duty, ratio=ratio, taken=taken)
    return plain(ratio * duty * taken / (ratio * duty + 1.0 - duty))


def time_actuated(minutes: Numbers, duty: Numbers) -> Numbers:
    """How long a breath-actuated nebulizer takes, which runs only while air goes in [min].

    Equation:  T / duty
    Symbols:   T   time that it must run [min]     duty   share of a breath in which air goes in [1]; ranges in VALID
    Source:    derived.
    Example:   6 min of running, 40 % of the time: 15 min.

    >>> time_actuated(6.0, 0.4)
    15.0
    """
    held(VALID, minutes=minutes, duty=duty)
    return plain(minutes / duty)


def least_useful(dead_mL: Numbers, tidal_mL: Numbers) -> Numbers:
    """What dead space of mask and connector leaves of each inhaled breath at the least [1].

    Equation:  1 - VD / VT; 0 where the dead space takes the whole breath
    Symbols:   VD   dead space of the apparatus [mL]     VT   volume of a breath [mL]; ranges in VALID
    Source:    derived, a simple bound: the true share lies between this and 1.
    Example:   25 mL of dead space leave an infant's breath of 50 mL at least half.

    >>> least_useful(25.0, 50.0), least_useful(40.0, 25.0)
    (0.5, 0.0)
    """
    held(VALID, dead_mL=dead_mL, tidal_mL=tidal_mL)
    return plain(np.maximum(1.0 - dead_mL / tidal_mL, 0.0))
