"""Numbers for the cards: one, or an array of trials; both are held to a card's ranges at its door."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from drawndose.quantities import Fault
from drawndose.science.budget import Values
from drawndose.science.ranges import OutOfRange, Valid, hold

Numbers = float | Values
"""One number, or one for each trial."""

Truth = bool | np.bool_ | NDArray[np.bool_]


def held(valid: Valid, **values: Numbers) -> None:
    """`hold` for numbers and arrays: every one of an array must lie in its range. Raises as `hold` does."""
    least = {name: float(np.min(one)) if isinstance(one, np.ndarray) else one for name, one in values.items()}
    hold(valid, **least)
    hold(valid, **{name: float(np.max(one)) for name, one in values.items() if isinstance(one, np.ndarray)})


def plain(value: object) -> Numbers:
    """What a card answers: an array stays one, anything else becomes a Python float."""
    return value if isinstance(value, np.ndarray) and value.ndim else float(value)  # type: ignore[arg-type]


def refuse_if(wrong: Truth, field: str, rule: str, came: Numbers, accepted: str) -> None:
    """Raise OutOfRange where the relation of two inputs is wrong, for one trial or for any of them."""
    if not np.any(wrong):
        return
    worst = float(np.broadcast_to(came, np.shape(wrong)).flat[int(np.argmax(wrong))])
    raise OutOfRange([Fault(field=field, rule=rule, came=f"{worst:g}", accepted=accepted)])
