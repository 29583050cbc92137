"""Which balance would do, for the volumes that people name: the table for both doors, and its words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from drawndose.quantities import gather
from drawndose.reference import load
from drawndose.science.balances import BalanceRow, Enough, Fit, balance_of, balance_table
from drawndose.science.sheet_words import Reader
from drawndose.science.weighing import Balance
from drawndose.science.words import percent_words

VOLUMES_ML: Final = (0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0)
"""Where no volume is named: those that small doses and their dilutions ask for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhichBalance:
    """The balances of the catalogue, and a person's own first, against volumes [mL] and a tolerance as a share of them."""

    volumes_mL: tuple[float, ...]
    within: float
    rows: tuple[BalanceRow, ...]


def which_balance(volumes_mL: Sequence[float], within: float, own: Balance | None = None) -> WhichBalance:
    """The table for these volumes; `own` is the balance that was used."""
    named = [("the balance used", own)] if own is not None else []
    named += [(one.name, balance_of(one)) for one in load().balances]
    rows = balance_table(named, volumes_mL, within=within)
    return WhichBalance(volumes_mL=tuple(volumes_mL), within=within, rows=rows)


def read_which_balance(boxes: Mapping[str, str]) -> WhichBalance:
    """The same out of the boxes of a sheet: target, within, and one's own balance where its step is said. Refused with every fault."""
    read = Reader(boxes)
    said = bool(read.said["target"])
    target = read.amount("target", "volume", "mL", 1.0) if said else 1.0
    within = read.take(lambda: read.tolerance(target), 0.05) / target
    own = read.balance() if read.said["step"] or read.said["repeatability"] else None
    gather(read.faults)
    return which_balance((target,) if said else VOLUMES_ML, within, own)


def fit_words(fit: Fit) -> str:
    """How far a balance does for a volume: "too coarse (guard band 41 % of the tolerance)"."""
    if fit.enough is Enough.NET_MASS:
        return str(fit.enough.value)
    return f"{fit.enough.value} (guard band {guard_words(fit)} of the tolerance)"


def guard_words(fit: Fit) -> str:
    """The share of the tolerance that the balance's own guard band takes."""
    return "more than all" if fit.guard_share > 1.0 else percent_words(fit.guard_share)


def smallest_words(row: BalanceRow) -> str:
    """The smallest net mass of a balance, and about what volume of water that is."""
    grams = row.smallest_g
    mass = f"{grams * 1e3:.3g} mg" if grams < 1.0 else f"{grams:.3g} g"
    return f"{mass}, about {row.smallest_mL:.2g} mL"
