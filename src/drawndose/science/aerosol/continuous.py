"""Nebulizing for hours: what to mix for a dose an hour, what the dose really is, how long it lasts. Cards, exact.

These are sums of doses, so they are worked in fractions and never rounded. The convention is that of the published recipes:
the dose an hour is what leaves the nebulizer by volume. Evaporation, tubing and what the patient does not breathe in are not
in it: about 4 to 6 % of it reached the lung in a model of a ventilated infant (Ann Pharmacother 37:23-26, 2003).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

from drawndose.quantities import Fault, Refused, show_number
from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {
    "rate_mg_h": Range(0.001, 10_000.0, "mg/h", "dose an hour"),
    "output_mL_h": Range(0.1, 500.0, "mL/h", "output"),
    "hours": Range(0.01, 48.0, "h", "time"),
    "lasts_h": Range(0.01, 2000.0, "h", "time that one filling lasts"),
    "stock_mg_mL": Range(0.001, 1000.0, "mg/mL", "strength of the stock"),
    "dead_mL": Range(0.0, 200.0, "mL", "volume that does not nebulize"),
    "strength_mg_mL": Range(0.0001, 1000.0, "mg/mL", "strength of the mixture"),
    "volume_mL": Range(0.0, 2000.0, "mL", "volume"),
    "preservative_mcg_mL": Range(0.0, 20_000.0, "mcg/mL", "preservative in the stock"),
    "per_kg_mg_h": Range(0.0001, 100.0, "mg/kg/h", "dose for each kg an hour"),
    "weight_kg": Range(0.3, 400.0, "kg", "weight"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """What to mix, exact: strength [mg/mL], volume in all [mL], drug in it [mg], of it stock and diluent [mL]."""

    strength_mg_mL: Fraction
    total_mL: Fraction
    drug_mg: Fraction
    stock_mL: Fraction
    diluent_mL: Fraction


def recipe(
    rate_mg_h: Fraction, output_mL_h: Fraction, hours: Fraction, stock_mg_mL: Fraction, dead_mL: Fraction = Fraction(0)
) -> Recipe:
    """What to mix for a dose an hour.

    Equation:  C = R / F     V = F h + Vd     M = C V     stock = M / S     diluent = V - stock
    Symbols:   R   dose an hour [mg/h]     F   output of the nebulizer at its flow of gas, measured [mL/h]     h   time [h]
               S   strength of the stock [mg/mL]     Vd   volume that does not nebulize [mL]; ranges in VALID
    Errors:    Refused where the stock is too thin: more of it would be needed than there is room.
    Source:    the balance, as published recipes do it (see the module).
    Example:   10 mg an hour for 8 h at 30 mL/h with 10 mL dead volume, of 5 mg per mL: 16.667 mL of stock in 250 mL.

    >>> found = recipe(Fraction(10), Fraction(30), Fraction(8), Fraction(5), Fraction(10))
    >>> found.total_mL, found.stock_mL, found.diluent_mL
    (Fraction(250, 1), Fraction(50, 3), Fraction(700, 3))
    """
    _held(rate_mg_h=rate_mg_h, output_mL_h=output_mL_h, hours=hours, stock_mg_mL=stock_mg_mL, dead_mL=dead_mL)
    strength = rate_mg_h / output_mL_h
    if strength > stock_mg_mL:
        accepted = f"at most {show_number(stock_mg_mL * output_mL_h)} mg/h, a stronger stock, or more output"
        rule = "the mixture would have to be stronger than the stock"
        raise Refused([Fault(field="rate_mg_h", rule=rule, came=f"{show_number(rate_mg_h)} mg/h", accepted=accepted)])
    total = output_mL_h * hours + dead_mL
    drug = strength * total
    stock = drug / stock_mg_mL
    return Recipe(strength_mg_mL=strength, total_mL=total, drug_mg=drug, stock_mL=stock, diluent_mL=total - stock)


def true_rate(strength_mg_mL: Fraction, output_mL_h: Fraction) -> Fraction:
    """The dose an hour that a mixture really gives at another output [mg/h].

    Equation:  R = C F
    Symbols:   C   strength of the mixture [mg/mL]     F   output as it is [mL/h]; ranges in VALID
    Source:    the balance, turned round.
    Example:   a third of a mg per mL at 24 mL/h instead of 30: 8 mg an hour instead of 10.

    >>> true_rate(Fraction(1, 3), Fraction(24))
    Fraction(8, 1)
    """
    _held(strength_mg_mL=strength_mg_mL, output_mL_h=output_mL_h)
    return strength_mg_mL * output_mL_h


def hours_left(volume_mL: Fraction, dead_mL: Fraction, output_mL_h: Fraction) -> Fraction:
    """How long what is in the reservoir lasts [h]; 0 from the dead volume down.

    Equation:  h = (V - Vd) / F
    Symbols:   V   volume in the reservoir [mL]     Vd   volume that does not nebulize [mL]     F   output [mL/h]; ranges in VALID
    Source:    the balance.
    Example:   130 mL with 10 mL dead at 30 mL/h: 4 h.

    >>> hours_left(Fraction(130), Fraction(10), Fraction(30)), hours_left(Fraction(5), Fraction(10), Fraction(30))
    (Fraction(4, 1), Fraction(0, 1))
    """
    _held(volume_mL=volume_mL, dead_mL=dead_mL, output_mL_h=output_mL_h)
    return max(volume_mL - dead_mL, Fraction(0)) / output_mL_h


def rate_by_weight(
    per_kg_mg_h: Fraction, weight_kg: Fraction, least_mg_h: Fraction | None = None, most_mg_h: Fraction | None = None
) -> tuple[Fraction, str]:
    """A dose an hour by weight within the limits that the order states [mg/h], and which limit acted, in words.

    Equation:  R = r w, not under the least and not over the most
    Symbols:   r   dose for each kg an hour [mg/kg/h]     w   weight [kg]; ranges in VALID
    Errors:    Refused where the least is more than the most.
    Source:    as a randomised trial of 1995 did it: 0.3 mg/kg/h, at least 5 and at most 10 mg/h (Pediatrics 96:398, summary).
    Example:   0.3 mg/kg/h: 5 mg/h for 12 kg, 6 for 20, 10 for 40.

    >>> [rate_by_weight(Fraction(3, 10), Fraction(w), Fraction(5), Fraction(10)) for w in (12, 20, 40)]
    [(Fraction(5, 1), 'the least acts'), (Fraction(6, 1), ''), (Fraction(10, 1), 'the most acts')]
    """
    _held(per_kg_mg_h=per_kg_mg_h, weight_kg=weight_kg)
    if least_mg_h is not None and most_mg_h is not None and least_mg_h > most_mg_h:
        came = f"{show_number(least_mg_h)} to {show_number(most_mg_h)} mg/h"
        raise Refused([Fault(field="least_mg_h", rule="a range goes up", came=came, accepted="5 to 10 mg/h")])
    rate = per_kg_mg_h * weight_kg
    if least_mg_h is not None and rate < least_mg_h:
        return least_mg_h, "the least acts"
    if most_mg_h is not None and rate > most_mg_h:
        return most_mg_h, "the most acts"
    return rate, ""


def preservative_per_hour(rate_mg_h: Fraction, stock_mg_mL: Fraction, preservative_mcg_mL: Fraction) -> Fraction:
    """Preservative that leaves the nebulizer with the drug [mcg/h].

    Equation:  p = R P / S
    Symbols:   R   dose an hour [mg/h]     S   strength of the stock [mg/mL]     P   preservative in it [mcg/mL]; ranges in VALID
    Source:    the balance.
    Example:   10 mg an hour of 5 mg per mL with 0.01 % preservative: 200 mcg an hour.

    >>> preservative_per_hour(Fraction(10), Fraction(5), Fraction(100))
    Fraction(200, 1)
    """
    _held(rate_mg_h=rate_mg_h, stock_mg_mL=stock_mg_mL, preservative_mcg_mL=preservative_mcg_mL)
    return rate_mg_h * preservative_mcg_mL / stock_mg_mL


def refills(
    started: datetime, lasts_h: Fraction, until: datetime, early_min: int = 0, first_h: Fraction | None = None
) -> Iterator[datetime]:
    """When the reservoir must be filled anew, so many minutes before it is empty, until a moment.

    Symbols:   started, until   moments with their zone     lasts_h   how long one filling lasts [h], range in VALID
               early_min   how many minutes before [min]     first_h   how long what is in it at first lasts [h]; a filling
               without it
    Errors:    Refused where a filling does not last so long.
    Source:    addition; cut to the minute, which is the early side.
    Example:   4 h each from 08:00, each time filled up a quarter of an hour early.

    >>> from datetime import timezone
    >>> begin = datetime(2026, 11, 25, 8, tzinfo=timezone.utc)
    >>> [f"{at:%H:%M}" for at in refills(begin, Fraction(4), begin + timedelta(hours=12), 15)]
    ['11:45', '15:30', '19:15']
    """
    _held(lasts_h=lasts_h)
    early = timedelta(minutes=early_min)
    each, first = (
        timedelta(minutes=int(one * 60)) - early for one in (lasts_h, lasts_h if first_h is None else first_h)
    )
    if each <= timedelta(0):
        came = f"{early_min} minutes before"
        rule = "a filling lasts longer than the time that it is filled early"
        raise Refused([Fault(field="early", rule=rule, came=came, accepted=f"under {int(lasts_h * 60)} min")])
    at = started + max(first, timedelta(0))
    while at < until:
        yield at
        at += each


def _held(**values: Fraction) -> None:
    hold(VALID, **{name: float(one) for name, one in values.items()})
