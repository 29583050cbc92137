"""How many doses an order asks for in all: the count that it names, or as many as its days hold.

Common practice, no published source was read: "three times daily for 5 days" is 15 doses, wherever in the day the first one falls. (Hours
are no course: "every 4 hours for 24 hours" is asked about, since it may be a dose that runs.)
"""

from __future__ import annotations

from drawndose.bench.order import Order
from drawndose.bench.windows import DAILY, spacing


def course(order: Order) -> int | None:
    """The number of doses after which the order is done; None for one that goes on until it is ended, and for a single dose.

    An order as needed has no count by its days: nobody can say how often it will be needed.
    """
    often, gap = order.frequency, spacing(order)
    if often is None or gap is None:
        return None
    if often.days is None or order.as_needed:
        return often.count
    return int(-(-(DAILY * often.days).base // gap.base))
