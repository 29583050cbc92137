"""Names to offer in a refusal: the few nearest to what came, and where the rest is listed."""

from collections.abc import Iterable
from difflib import get_close_matches

FEW = 6
"""So many names are offered; a list that is no longer than this is told whole."""


def nearest(came: str, known: Iterable[str], rest: str) -> str:
    """The names that hold what came, then those most like it; the first few where none is. rest: where all of them are listed.

    >>> nearest("syringe-01", [f"syringe-{size}" for size in (1, 2, 3, 5, 10, 20, 50)], "`drawndose instruments`")
    'syringe-1, syringe-50, syringe-20, syringe-10, syringe-5, syringe-3; all 7: `drawndose instruments`'
    >>> nearest("x", ["one", "two"], "the manual")
    'one, two'
    """
    names = list(known)
    if len(names) <= FEW:
        return ", ".join(names)
    by_lower = {name.lower(): name for name in reversed(names)}
    word = came.strip().lower()
    holding = [name for name in names if word and word in name.lower()]
    alike = [by_lower[one] for one in get_close_matches(word, by_lower, n=FEW)]
    near = [*dict.fromkeys((*holding, *alike))][:FEW]
    return f"{', '.join(near or names[:FEW])}; all {len(names)}: {rest}"
