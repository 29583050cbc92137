"""A small nebulizer fed by a pump: what its cup comes to, and how it gets there. Cards.

The pump feeds as much as leaves, so the cup keeps its volume; vapour leaves without drug, so the cup grows stronger until as
much drug leaves as is fed. By this balance all that is fed leaves; one study measured 59 % of it (Chest 114:847-853, 1998), so
take it as the most.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from drawndose.science.aerosol.numbers import Numbers, held, plain, refuse_if
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {
    "fed_mg_mL": Range(0.0, 1000.0, "mg/mL", "strength of what is fed"),
    "start_mg_mL": Range(0.0, 1000.0, "mg/mL", "strength in the cup at the start"),
    "feed_mL_h": Range(0.1, 200.0, "mL/h", "feed"),
    "most_mL_h": Range(0.1, 500.0, "mL/h", "most that the nebulizer can put out"),
    "cup_mL": Range(0.1, 50.0, "mL", "volume in the cup"),
    "evaporated": Range(0.0, 0.95, "", "share that is only water"),
    "hours": Range(0.0, 48.0, "h", "time"),
}
FILLS: Final = "the nebulizer must be able to put out more than it is fed, or the cup fills"


def steady_cup(fed_mg_mL: Numbers, evaporated: Numbers) -> Numbers:
    """What the cup comes to [mg/mL].

    Equation:  c = cf / (1 - e)
    Symbols:   cf   strength of what is fed [mg/mL]     e   share of what leaves that is only water [1]; ranges in VALID
    Source:    the balance of drug, when as much leaves as is fed.
    Example:   1 mg per mL with e = 0.3: 1.43 mg per mL.

    >>> round(steady_cup(1.0, 0.3), 4)
    1.4286
    """
    held(VALID, fed_mg_mL=fed_mg_mL, evaporated=evaporated)
    return plain(fed_mg_mL / (1.0 - evaporated))


def steady_rate(fed_mg_mL: Numbers, feed_mL_h: Numbers, most_mL_h: Numbers | None = None) -> Numbers:
    """The dose an hour that leaves, once the cup is steady: all that is fed [mg/h].

    Equation:  R = P cf
    Symbols:   cf   strength of what is fed [mg/mL]     P   feed [mL/h]; ranges in VALID
               most   what the nebulizer can put out, droplets and vapour [mL/h]: more than P
    Source:    the balance of drug; the most that can leave (see the module).
    Example:   1 mg per mL at 10 mL/h: 10 mg an hour.

    >>> steady_rate(1.0, 10.0)
    10.0
    """
    held(VALID, fed_mg_mL=fed_mg_mL, feed_mL_h=feed_mL_h)
    if most_mL_h is not None:
        held(VALID, most_mL_h=most_mL_h)
        refuse_if(most_mL_h <= feed_mL_h, "most_mL_h", FILLS, most_mL_h, "more than the feed")
    return plain(fed_mg_mL * feed_mL_h)


def start_up_hours(cup_mL: Numbers, feed_mL_h: Numbers, evaporated: Numbers) -> Numbers:
    """Time constant of the start: after it 63 % of the way to the steady cup is done, after three times as long 95 % [h].

    Equation:  tau = V / A, A = (1 - e) P
    Symbols:   V   volume in the cup [mL]     P   feed [mL/h]     e   share that is only water [1]; ranges in VALID
    Source:    the balance of drug.
    Example:   2 mL in the cup, 10 mL/h, e = 0.3: 0.29 h.

    >>> round(start_up_hours(2.0, 10.0, 0.3), 3)
    0.286
    """
    held(VALID, cup_mL=cup_mL, feed_mL_h=feed_mL_h, evaporated=evaporated)
    return plain(cup_mL / ((1.0 - evaporated) * feed_mL_h))


def cup_after(
    hours: Numbers,
    fed_mg_mL: Numbers,
    feed_mL_h: Numbers,
    cup_mL: Numbers,
    evaporated: Numbers,
    start_mg_mL: Numbers = 0.0,
) -> Numbers:
    """Strength in the cup after a time [mg/mL].

    Equation:  c = cs + (c0 - cs) exp(-t / tau)
    Symbols:   cs   `steady_cup` [mg/mL]     c0   strength in the cup at the start [mg/mL]     tau   `start_up_hours` [h]
               t   time [h]; ranges in VALID
    Source:    V dc/dt = P cf - A c, solved.
    Example:   begun with 2 mL of water and fed 1 mg per mL at 10 mL/h with e = 0.3: 1.25 mg per mL after 0.6 h.

    >>> round(cup_after(0.6, 1.0, 10.0, 2.0, 0.3), 2)
    1.25
    """
    held(VALID, hours=hours, start_mg_mL=start_mg_mL)
    steady, tau = steady_cup(fed_mg_mL, evaporated), start_up_hours(cup_mL, feed_mL_h, evaporated)
    return plain(steady + (start_mg_mL - steady) * np.exp(-hours / tau))
