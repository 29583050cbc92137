"""drawndose: from an order and the container in hand to a plan that can be followed.

>>> from drawndose import load, plan, read_order, every_pack
>>> book = load()
>>> order = read_order("albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", catalogue=book)
>>> bench = every_pack([book.presentation("albuterol-0.5pct-bottle-20ml"), *book.diluents])
>>> plan(order, containers=bench, instruments=book.instruments).takes[0].draw.reading
'the lowest point of the curve at the 0.5 mL mark'
"""

from drawndose.bench.in_hand import InHand, every_pack
from drawndose.bench.order import Order, read_order
from drawndose.bench.plans import Plan, Status, plan
from drawndose.bench.policy import Policy
from drawndose.quantities import Fault, Refused
from drawndose.reference import Catalogue, load

__all__ = [
    "Catalogue",
    "Fault",
    "InHand",
    "Order",
    "Plan",
    "Policy",
    "Refused",
    "Status",
    "every_pack",
    "load",
    "plan",
    "read_order",
]
