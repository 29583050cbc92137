"""Exact amounts, volumes, strengths and rates: read, compute, round, show. Depends on nothing.

Every value is an int or a Fraction; a float never gets in. What cannot be read without guessing is refused with the
field, the rule, what came and what is accepted (`Refused`), all faults of one text together.
"""

from drawndose.quantities.faults import Fault, Gathering, Refused, gather
from drawndose.quantities.names import nearest
from drawndose.quantities.numbers import Manner, read_number, show_number
from drawndose.quantities.quantity import Quantity, Unlike
from drawndose.quantities.reading import read_quantity
from drawndose.quantities.rounding import Rounded, Way, neighbours, rounded
from drawndose.quantities.showing import data_text, quantity_data, show, show_about, show_both, show_strength
from drawndose.quantities.strength import Form, Strength, read_strength
from drawndose.quantities.units import Unit, unit

__all__ = [
    "Fault",
    "Form",
    "Gathering",
    "Manner",
    "Quantity",
    "Refused",
    "Rounded",
    "Strength",
    "Unit",
    "Unlike",
    "Way",
    "data_text",
    "gather",
    "nearest",
    "neighbours",
    "quantity_data",
    "read_number",
    "read_quantity",
    "read_strength",
    "rounded",
    "show",
    "show_about",
    "show_both",
    "show_number",
    "show_strength",
    "unit",
]
