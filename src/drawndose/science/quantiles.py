"""Quantiles and chances of the three distributions that are needed: normal, Student's t, chi-square. Cards over scipy.

scipy is imported only when one of them is asked for, so that weighing and densities work without it.
"""

from __future__ import annotations

from math import inf, isinf
from typing import Final

from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {
    "level_percent": Range(1.0, 99.999, "%", "level of confidence"),
    "nu": Range(1.0, 1e9, "", "number of degrees of freedom"),
    "chance": Range(1e-9, 1.0 - 1e-9, "", "chance"),
}


def coverage_factor(level_percent: float, nu: float = inf) -> float:
    """How many standard uncertainties make an interval that holds so many percent, by Student's t [1].

    Equation:  k = t_p(nu) with P(|T| <= k) = p
    Symbols:   p    level [%]     nu   effective degrees of freedom [1], infinite for the normal distribution; ranges in VALID
    Source:    JCGM 100:2008 (GUM), annex G.4 and table G.2 (from memory), where nu need not be whole.
    Example:   95.45 %: 2.00 for the normal distribution, 2.65 with 5 degrees of freedom.

    >>> round(coverage_factor(95.45), 2), round(coverage_factor(95.45, 5), 2)
    (2.0, 2.65)
    """
    hold(VALID, level_percent=level_percent, **({} if isinf(nu) and nu > 0 else {"nu": nu}))
    return t_quantile(0.5 + level_percent / 200.0, nu)


def t_quantile(chance: float, nu: float = inf) -> float:
    """The value that Student's t stays below with this chance [1]; the normal distribution's where nu is infinite.

    Symbols:   chance [1], nu degrees of freedom [1]; ranges in VALID
    Source:    scipy.special (Cephes), compared in the tests with a second implementation.

    >>> round(t_quantile(0.975, 9), 3), round(t_quantile(0.975), 3)
    (2.262, 1.96)
    """
    from scipy.special import ndtri, stdtrit

    if isinf(nu) and nu > 0:
        hold(VALID, chance=chance)
        return float(ndtri(chance))
    hold(VALID, chance=chance, nu=nu)
    return float(stdtrit(nu, chance))


def t_below(value: float, nu: float = inf) -> float:
    """The chance that Student's t stays below a value [1]; the normal distribution's where nu is infinite.

    Symbols:   value [1], any; nu degrees of freedom [1], range in VALID
    Source:    as `t_quantile`.

    >>> round(t_below(1.96), 4), round(t_below(2.262, 9), 4)
    (0.975, 0.975)
    """
    from scipy.special import ndtr, stdtr

    if isinf(nu) and nu > 0:
        return float(ndtr(value))
    hold(VALID, nu=nu)
    return float(stdtr(nu, value))


def chi2_quantile(chance: float, nu: float) -> float:
    """The value that chi-square with nu degrees of freedom stays below with this chance [1].

    Symbols:   chance [1], nu degrees of freedom [1]; ranges in VALID
    Source:    as `t_quantile`.

    >>> round(chi2_quantile(0.025, 9), 3), round(chi2_quantile(0.975, 9), 3)
    (2.7, 19.023)
    """
    from scipy.special import chdtri

    hold(VALID, chance=chance, nu=nu)
    return float(chdtri(nu, 1.0 - chance))
