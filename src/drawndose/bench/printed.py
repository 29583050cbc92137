"""Whether a label prints a strength that an order names, in any of its printed forms."""

from __future__ import annotations

from functools import lru_cache

from drawndose.quantities import Quantity, Refused, Strength, read_strength
from drawndose.reference import Active


def prints(active: Active, strength: Strength) -> bool:
    """True when the label prints this strength, in any of its printed forms (0.083 % beside 2.5 mg in 3 mL)."""
    named = _recounted(strength, active)
    return active.strength.ratio == named or named in _forms(active.printed, active.moiety)


@lru_cache(maxsize=256)
def _forms(printed: str, moiety: str) -> tuple[Quantity, ...]:
    """Every strength in the words of a label."""
    found = []
    for piece in printed.replace(")", "(").split("("):
        try:
            found.append(read_strength(piece, of=moiety).ratio)
        except Refused:
            continue
    return tuple(found)


def _recounted(strength: Strength, active: Active) -> Quantity:
    """The named strength as if it counted this label's moiety: an order's percent means what the label's percent means."""
    amount = strength.amount
    return Quantity(amount.value, amount.unit, ((active.moiety, 1),)) / strength.per
