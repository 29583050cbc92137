"""A first dilution for a volume that no instrument can show: draw more, make it up, take a part of the mixture.

Three measured volumes replace one, and their permissible errors are worked out together (worst case). It is offered only
when nothing measures the dose directly, and the plan says that a pharmacy does this better.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from drawndose.bench.draws import Draw, draw
from drawndose.bench.in_hand import InHand
from drawndose.bench.policy import Policy
from drawndose.bench.takes import Dilution, dilution_risk, usable
from drawndose.reference import Instrument, Kind

STOCKS = tuple(Fraction(tenths, 10) for tenths in (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 15, 20))
TOTALS = tuple(Fraction(whole) for whole in (1, 2, 3, 4, 5, 6, 8, 10, 20))
"""Volumes, mL, that are tried: such as a person sets without a second look. A house choice."""


def first_dilution(
    in_hand: InHand, volume: Fraction, most: Fraction, instruments: tuple[Instrument, ...], policy: Policy
) -> Dilution | None:
    """The first dilution with the smallest worst-case error that carries `volume` of the stock in at most `most` mL.

    None when every one is above the policy's limit, or no part falls on a line.
    """
    syringes = tuple(one for one in usable(in_hand, instruments) if one.kind is Kind.SYRINGE)
    found = [
        (dilution_risk(one), one.total.volume, one.stock.volume, one)
        for one in _every(volume, min(most, Fraction(20)), in_hand.contents(), syringes, policy)
    ]
    found = [one for one in found if one[0] <= policy.refuse_above]
    return min(found, key=lambda one: one[:3])[3] if found else None


def _every(
    volume: Fraction, most: Fraction, contents: Fraction, syringes: tuple[Instrument, ...], policy: Policy
) -> Iterator[Dilution]:
    for stock in STOCKS:
        drawn = _best(stock, syringes, policy) if volume < stock <= contents else None
        if drawn is None:
            continue
        for total in TOTALS:
            part = volume * total / stock
            if not (stock < total and part <= most and part < total):
                continue
            made_up, taken = _best(total, syringes, policy), _best(part, syringes, policy)
            if made_up is not None and taken is not None:
                yield Dilution(stock=drawn, total=made_up, part=taken)


def _best(volume: Fraction, syringes: tuple[Instrument, ...], policy: Policy) -> Draw | None:
    """The single fill with the smallest permissible error, or None when no syringe has the line."""
    fits = (draw(volume, one, policy) for one in syringes if volume <= one.capacity)
    shown = [one for one in fits if isinstance(one, Draw) and one.volume == volume]
    return min(shown, key=lambda one: (one.error, one.instrument.capacity), default=None)
