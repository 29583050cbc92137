"""The labels and the paper that a department has, as settings: sizes in the order in which they are tried."""

from __future__ import annotations

from functools import partial

from drawndose.paper.size import A4, LETTER, SIZES, Paper, Size, read_size
from drawndose.quantities import Fault, Gathering, Refused, gather

PAPERS: dict[str, Paper] = {one.name: one for one in (A4, LETTER)}
SHIPPED = ", ".join(one.says for one in SIZES)
MOST = 8


def label_sizes(text: str, field: str) -> tuple[Size, ...]:
    """Sizes out of the text of a setting, with commas; one that is shipped keeps its type. Refused with every fault.

    >>> [one.says for one in label_sizes("102 x 51 mm, 60x40 mm", "label_sizes")]
    ['102 x 51 mm', '60 x 40 mm']
    """
    pieces = [piece.strip() for piece in text.split(",") if piece.strip()]
    if not 1 <= len(pieces) <= MOST:
        raise Refused([Fault(field=field, rule=f"1 to {MOST} sizes, with commas", came=text[:80], accepted=SHIPPED)])
    shipped = {one.says: one for one in SIZES}
    taking = Gathering()
    read = [taking.take(partial(read_size, piece, field)) for piece in pieces]
    found = tuple(shipped.get(one.says, one) for one in read if one is not None)
    for says in dict.fromkeys(one.says for one in found if found.count(one) > 1):
        taking.faults.append(Fault(field=field, rule="a size stands once", came=says, accepted="each size once"))
    gather(taking.faults)
    return found
