"""Solves check cases of the area "statistics". A kind is a function of the inputs by name; what is not estimable is told in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from drawndose.bench.verification import Found, Unsupported
from drawndose.quantities import Fault, Refused
from drawndose.reference.cases import Case
from drawndose.science.statistics import case_learning, case_raters, case_readings, case_steps
from drawndose.science.statistics.case_inputs import NAMED_ONLY, Given, Result, answers

KINDS: Final[Mapping[str, tuple[Callable[[Given], Result], str, str]]] = {
    **case_raters.KINDS,
    **case_steps.KINDS,
    **case_learning.KINDS,
    **case_readings.KINDS,
}
"""Kinds with the inputs that they need, and those that they may have."""


def solve(case: Case) -> Found:
    """The answers of a case by name. Unsupported names a kind or an input that is not known, or a library that is missing."""
    if case.name not in KINDS:
        raise Unsupported(f"the kind {case.kind}")
    work, needs, may = KINDS[case.name]
    names = needs.split()
    unknown = [name for name in case.given if name not in (*names, *may.split(), *NAMED_ONLY)]
    if unknown:
        raise Unsupported(f"the input {', '.join(unknown)} of {case.kind}")
    missing = [name for name in names if name not in case.given]
    if missing or not case.given:
        rule, accepted = "an input is missing", ", ".join(names or may.split())
        raise Refused(
            [Fault(field=name, rule=rule, came="nothing", accepted=accepted) for name in missing or may.split()]
        )
    try:
        return answers(work(Given(case.given)))
    except ModuleNotFoundError as error:
        raise Unsupported(f"{case.kind} without {error.name}: install drawndose[science]") from error
