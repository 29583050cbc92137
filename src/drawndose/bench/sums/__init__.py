"""Worked sums: one registry of the calculations around a nebulizer dose, each worked line by line with its wrong ways.

>>> worked = work("dose_to_volume", {"dose": "2.5 mg", "strength": "0.5 %"})
>>> print(*worked.lines, sep="\\n")
0.5 % = 0.5 g in 100 mL = 5 mg per mL
2.5 mg ÷ 5 mg per mL = 0.5 mL
>>> work("dose_to_volume", {"dose": "2.5 mg"})
Traceback (most recent call last):
drawndose.quantities.faults.Refused: dose_to_volume: not enough is given to find the volume that holds the dose. Came: "dose 2.5 mg". Accepted: dose, strength, mass, volume, step, final_volume, diluent, powder_volume, dose_rate, weight, lb_per_kg, kg_per_lb, doses_per_day, interval, minimum, maximum.
"""

from collections.abc import Mapping

from drawndose.bench.sums import (
    alligation,
    by_weight,
    continuous,
    cylinders,
    dates,
    delivered,
    dilution,
    dose_volume,
    drops,
    equivalents,
    gases,
    isotonicity,
    mixtures,
    osmolarity,
    parts,
    reconstitution,
    salts,
    strength_forms,
    supply,
    tonicity,
)
from drawndose.bench.sums.given import UNKNOWN, by_name
from drawndose.bench.sums.shape import Answer, Input, Result, Sum, Worked, WrongWay
from drawndose.quantities import Fault, Refused, nearest

__all__ = ["KINDS", "UNKNOWN", "Answer", "Input", "Result", "Sum", "Worked", "WrongWay", "work"]

_FAMILIES = (
    dose_volume, strength_forms, dilution, alligation, mixtures, parts, by_weight, continuous, reconstitution, salts,
    equivalents, osmolarity, tonicity, isotonicity, drops, supply, delivered, cylinders, gases, dates,
)  # fmt: skip

KINDS: dict[str, Sum] = {one.kind: one for family in _FAMILIES for one in family.KINDS}
"""Every kind of sum by its name, in the order of the families."""


SUMS = "`drawndose sums`"
"""Where every kind is listed."""


def work(kind: str, given: Mapping[str, str], *, drug: str = "", asked: str = "") -> Worked:
    """Work one sum from texts by input name (or one of its other names).

    drug: what the amounts are of. asked: words of the question, which choose between results of one kind ("mass of base",
    "parts of strong"). Raises Refused for an unknown kind or input, a text that cannot be read, an input that is missing,
    and an input that the sum does not need.
    """
    if kind not in KINDS:
        raise Refused(
            [Fault(field="kind", rule="no sum of this kind is known", came=kind, accepted=nearest(kind, KINDS, SUMS))]
        )
    this = KINDS[kind]
    return this.work(this, by_name(this, given), drug or "the drug", asked)
