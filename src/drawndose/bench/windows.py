"""How far from its due time a scheduled dose may be given: by how often it is given, and whether it is time-critical.

Source: ISMP, Acute care guidelines for timely administration of scheduled medications, 2011 (secondary): 30 min for
time-critical doses, 1 h for those more often than daily but not more often than every 4 h, 2 h for daily and rarer ones;
more often than every 4 h is taken as time-critical (from memory). All are settings: hospitals keep their own lists.
"""

from __future__ import annotations

from drawndose.bench.order import Order
from drawndose.bench.policy import Policy
from drawndose.quantities import Quantity

OFTEN = Quantity.of_text(4, "h")
DAILY = Quantity.of_text(24, "h")
"""No settings: they are the words "every 4 hours" and "daily" of the guidelines; how long each window is, is one."""


def spacing(order: Order) -> Quantity | None:
    """The time between two doses: the order's own, or the day shared out evenly; None for single doses."""
    if order.frequency is None:
        return None
    if order.frequency.interval is None and order.frequency.in_a_day:
        return DAILY / order.frequency.in_a_day
    return order.frequency.interval


def window(order: Order, policy: Policy) -> Quantity | None:
    """How long before and after its due time a dose of this order may be given; None where it has no interval.

    As-needed doses, first doses and single ones have no window: their own time holds.
    """
    interval = spacing(order)
    if interval is None or order.as_needed:
        return None
    critical = any(line.drug.id in policy.time_critical for line in order.lines)
    if critical or interval < OFTEN:
        return policy.window_critical
    return policy.window_often if interval < DAILY else policy.window_daily
