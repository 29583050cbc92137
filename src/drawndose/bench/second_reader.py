"""When a second person reads the volume, working apart: the kinds of preparation that a policy selects, and why."""

from __future__ import annotations

from collections.abc import Iterator

from drawndose.bench.order import Order
from drawndose.bench.policy import Policy, SecondReading
from drawndose.bench.takes import Take
from drawndose.quantities import Quantity, show
from drawndose.reference import ByNebulizer

CHILD = Quantity.of_text(18, "year")
"""Below this age a dose by weight is a child's. From memory; no setting: it says what the word in `SecondReading` means."""
PROSTACYCLINS = frozenset({"iloprost", "treprostinil"})


def reasons(order: Order, takes: tuple[Take, ...], policy: Policy) -> tuple[str, ...]:
    """Why a second person must read, in words; none where the policy selects nothing of this preparation.

    Source: the list is a setting (from memory); that a double check is chosen, not general: ISMP, Independent double
    checks, 2013 and 2019.
    """
    found = dict.fromkeys(why for kind, why in _kinds(order, takes) if kind in policy.second_reading)
    return tuple(found)


def _kinds(order: Order, takes: tuple[Take, ...]) -> Iterator[tuple[SecondReading, str]]:
    age = order.patient.age
    by_weight = any(line.dose.amount is not None and ("kg", -1) in line.dose.amount.unit.parts for line in order.lines)
    if by_weight and (age is None or age < CHILD):
        yield SecondReading.BY_WEIGHT, f"a dose by weight{'' if age is None else f' at {show(age)}'}"
    if order.continuous:
        yield SecondReading.CONTINUOUS, "a continuous mixture"
    for take in takes:
        presentation = take.in_hand.presentation
        if take.first_dilution is not None:
            yield SecondReading.FIRST_DILUTION, "a dilution made before the dose is measured"
        if presentation.drug == "epinephrine" and presentation.by_nebulizer is ByNebulizer.OFF_LABEL:
            yield SecondReading.EPINEPHRINE, "epinephrine out of a container for injection"
        if presentation.drug in PROSTACYCLINS:
            yield SecondReading.PROSTACYCLIN, f"{presentation.drug}, a prostacyclin"
        if presentation.dilution is not None and not presentation.dilution.undiluted:
            yield SecondReading.CONCENTRATE, "a concentrate"
