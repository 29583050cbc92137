"""Is a measured volume inside a tolerance, given how well it was measured: within, outside, or it cannot be told.

A result inside the limits by less than its own uncertainty proves nothing; so the limits are drawn in by a guard band before
"within" is said, and out by it before "outside" is. In the manner of JCGM 106 and ILAC-G8, both from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import inf
from typing import Final

from drawndose.science.quantiles import coverage_factor, t_below
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.words import chance_percent

VALID: Final[Valid] = {
    "target_mL": Range(1e-4, 1000.0, "mL", "volume asked for"),
    "tolerance_mL": Range(1e-6, 500.0, "mL", "tolerance"),
    "measured_mL": Range(0.0, 2000.0, "mL", "volume measured"),
    "u_mL": Range(1e-9, 500.0, "mL", "standard uncertainty"),
}


class Call(Enum):
    """What is said of a result."""

    WITHIN = "within"
    OUTSIDE = "outside"
    CANNOT_TELL = "cannot be told"


class Acceptance(Enum):
    """Who bears the doubt. GUARDED: nobody, what is doubtful is said to be. SIMPLE: whoever relies on the verdict."""

    GUARDED = "guard band as wide as the expanded uncertainty"
    SIMPLE = "simple acceptance"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A call, the chance that the true volume is inside the tolerance, the guard band used, and what risk the call carries."""

    call: Call
    conformity: float
    guard_mL: float
    acceptance: Acceptance
    says: str


def judge(
    measured_mL: float,
    u_mL: float,
    *,
    target_mL: float,
    tolerance_mL: float,
    nu: float = inf,
    acceptance: Acceptance = Acceptance.GUARDED,
    level_percent: float = 95.45,
) -> Verdict:
    """The verdict on a measured volume against target and tolerance.

    Equation:  p = F((T_U - y) / u) - F((T_L - y) / u); within where |y - target| <= T - g, outside where >= T + g
    Symbols:   y   measured [mL]   u   its standard uncertainty [mL]   T   tolerance to both sides [mL]   g = k u   guard band [mL]
               F   normal distribution, or Student's t with nu degrees of freedom
    Source:    JCGM 106:2012, clauses 7 and 8, and ILAC-G8:09/2019 (guard band w = U): from memory.

    >>> judge(0.50, 0.003, target_mL=0.5, tolerance_mL=0.025).call.value
    'within'
    >>> judge(0.522, 0.003, target_mL=0.5, tolerance_mL=0.025).call.value
    'cannot be told'
    """
    hold(VALID, measured_mL=measured_mL, u_mL=u_mL, target_mL=target_mL, tolerance_mL=tolerance_mL)
    off = abs(measured_mL - target_mL)
    conformity = t_below((tolerance_mL - off) / u_mL, nu) - t_below((-tolerance_mL - off) / u_mL, nu)
    guard = coverage_factor(level_percent, nu) * u_mL if acceptance is Acceptance.GUARDED else 0.0
    if off <= tolerance_mL - guard:
        call = Call.WITHIN
    elif off > tolerance_mL and off >= tolerance_mL + guard:
        call = Call.OUTSIDE
    else:
        call = Call.CANNOT_TELL
    says = _says(call, conformity, guard, tolerance_mL, acceptance)
    return Verdict(call=call, conformity=conformity, guard_mL=guard, acceptance=acceptance, says=says)


def _says(call: Call, conformity: float, guard: float, tolerance: float, acceptance: Acceptance) -> str:
    wrong = {Call.WITHIN: 1.0 - conformity, Call.OUTSIDE: conformity}.get(call, 0.0)
    if acceptance is Acceptance.SIMPLE:
        risk = f"chance that this is wrong: {chance_percent(wrong)}; close to the limit it can be as much as one half"
        return f"{call.value}, by simple acceptance; {risk}."
    if call is Call.CANNOT_TELL and guard >= tolerance:
        return "cannot be told: the weighing is less sure than the tolerance is wide; weigh better, or a larger volume."
    if call is Call.CANNOT_TELL:
        return f"cannot be told: it lies within the guard band; inside the tolerance with {chance_percent(conformity)}."
    return f"{call.value}; chance that this is wrong: {chance_percent(wrong)}."
