"""A first dilution for a volume that no instrument can show: draw more, make it up, take a part of the mixture.

Three measured volumes replace one, and their permissible errors are worked out together (worst case), with that of the
liquid of a powder that is made up here. It is offered only
when nothing measures the dose directly, and the plan says that a pharmacy does this better.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import product

from drawndose.bench.draws import Draw
from drawndose.bench.in_hand import InHand
from drawndose.bench.policy import Policy
from drawndose.bench.takes import Dilution, dilution_risk, too_strong, usable
from drawndose.reference import Instrument, Kind

STOCKS = tuple(Fraction(tenths, 10) for tenths in (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 15, 20))
TOTALS = tuple(Fraction(whole) for whole in (1, 2, 3, 4, 5, 6, 8, 10, 20))
"""Volumes, mL, that are tried: such as a person sets without a second look. A house choice."""


def first_dilution(
    in_hand: InHand,
    volume: Fraction,
    most: Fraction,
    instruments: tuple[Instrument, ...],
    policy: Policy,
    liquid: Draw | None = None,
) -> Dilution | None:
    """The first dilution with the smallest worst-case error that carries `volume` of the stock in at most `most` mL.

    liquid: how the liquid of a powder is measured. None when every one is above the policy's limit, or no part falls on a line.
    """
    made_up = too_strong(in_hand, liquid)
    syringes = tuple(one for one in usable(in_hand, instruments) if one.kind is Kind.SYRINGE)
    found = [
        ((1 + dilution_risk(one)) * made_up - 1, one.total.volume, one.stock.volume, one)
        for one in _every(volume, min(most, Fraction(20)), in_hand.contents(), syringes)
    ]
    found = [one for one in found if one[0] <= policy.refuse_above]
    return min(found, key=lambda one: one[:3])[3] if found else None


def _every(
    volume: Fraction, most: Fraction, contents: Fraction, syringes: tuple[Instrument, ...]
) -> Iterator[Dilution]:
    stocks = {stock: _best(stock, syringes) for stock in STOCKS if volume < stock <= contents}
    totals = {total: _best(total, syringes) for total in TOTALS}
    for (stock, drawn), (total, made_up) in product(stocks.items(), totals.items()):
        part = volume * total / stock
        if drawn is None or made_up is None or not (stock < total and part <= most and part < total):
            continue
        taken = _best(part, syringes)
        if taken is not None:
            yield Dilution(stock=drawn, total=made_up, part=taken)


def _best(volume: Fraction, syringes: tuple[Instrument, ...]) -> Draw | None:
    """The single fill with the smallest permissible error, or None when no syringe has the line."""
    shown = [one for one in syringes if one.shows(volume)]
    best = min(shown, key=lambda one: (one.permissible_error(volume), one.capacity), default=None)
    return Draw(instrument=best, asked=volume, fills=(volume,)) if best is not None else None
