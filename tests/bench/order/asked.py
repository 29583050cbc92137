"""What a test asks of an order's text: the order, its doses as people read them, its faults, its open questions."""

import pytest

from drawndose import Order, Refused, read_order
from drawndose.quantities import Fault, Quantity, show
from tests.bench.benches import BOOK


def order(text: str) -> Order:
    return read_order(text, catalogue=BOOK)


def faults(text: str) -> list[Fault]:
    with pytest.raises(Refused) as refusal:
        order(text)
    return list(refusal.value.faults)


def told(text: str) -> list[tuple[str, str]]:
    """Rule and what came, of each fault."""
    return [(fault.rule, fault.came) for fault in faults(text)]


def blocking(text: str) -> list[str]:
    """The fields of the questions that must be answered."""
    return [question.field for question in order(text).blocking]


def shown(quantity: Quantity | None) -> str:
    return show(quantity) if quantity is not None else ""


def doses(text: str) -> list[tuple[str, str]]:
    """Drug and amount of each line, of an order without a blocking question."""
    read = order(text)
    assert read.blocking == ()
    return [(line.drug.id, shown(line.dose.amount)) for line in read.lines]


def refused_or_asked(text: str) -> bool:
    """True when no plan can come of the text."""
    try:
        return bool(order(text).blocking)
    except Refused as refused:
        return bool(refused.faults)
