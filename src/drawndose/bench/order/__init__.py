"""Orders: what the prescriber wrote, read from a text or from fields, with what is missing asked for by name."""

from drawndose.bench.order.fields import read_fields
from drawndose.bench.order.model import Dose, DrugLine, Fill, FillRule, Frequency, Order, Patient, Question, Span
from drawndose.bench.order.text import read_order

__all__ = [
    "Dose",
    "DrugLine",
    "Fill",
    "FillRule",
    "Frequency",
    "Order",
    "Patient",
    "Question",
    "Span",
    "read_fields",
    "read_order",
]
