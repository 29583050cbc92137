"""Check this installation against cases: run each, compare exactly, say what agrees, what does not, and what is unknown.

`verify` is pure. A caller opens files and reads them with `reference.cases.read_cases`. Each area of cases (the part of
a kind before the dot) has a solver; other parts of the project bring solvers for their own areas.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from fractions import Fraction

from drawndose.bench import sums
from drawndose.bench.expected import alike, meets, print_holds, read_expected
from drawndose.bench.sums import Answer, Result
from drawndose.quantities import Quantity, Refused, show, unit
from drawndose.reference.cases import Case, Held


class Unsupported(Exception):
    """A kind, or a name in a case, that the tool does not know. The message names it."""


Answers = tuple[Answer, ...]
"""Several answers under one name, for inputs that came as a list."""

Found = Mapping[str, tuple[Answer | Fraction | str | Answers, ...]]
"""Answers by name, each in the forms in which it may be expected. A bare Fraction is a number that may lie below 0."""

Solver = Callable[[Case], Found]
"""Works a case. Raises Unsupported for what it does not know, Refused for what is not valid."""


class Status(Enum):
    """How a case came out. AGAINST_PRINT passed too: the exact answer is met, and what the source prints differs."""

    PASSED = "passed"
    AGAINST_PRINT = "passed, print disagrees"
    UNSUPPORTED = "unsupported"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Outcome:
    """One case with its status, and in words what was expected, what came, and why the status."""

    case: Case
    status: Status
    expected: str
    came: str
    reason: str


@dataclass(frozen=True, slots=True)
class Report:
    """The outcomes of all cases, in their order."""

    outcomes: tuple[Outcome, ...]

    def of(self, status: Status) -> tuple[Outcome, ...]:
        """The outcomes of one status."""
        return tuple(one for one in self.outcomes if one.status is status)

    @property
    def counts(self) -> dict[Status, int]:
        """How many of each status."""
        return _counted(self.outcomes)

    @property
    def by_kind(self) -> dict[str, dict[Status, int]]:
        """How many of each status, kind by kind, in the order of the names."""
        kinds = sorted({one.case.kind for one in self.outcomes})
        return {kind: _counted(one for one in self.outcomes if one.case.kind == kind) for kind in kinds}

    @property
    def by_area(self) -> dict[str, dict[Status, int]]:
        """How many of each status, area by area, in the order of the names."""
        areas = sorted({one.case.area for one in self.outcomes})
        return {area: _counted(one for one in self.outcomes if one.case.area == area) for area in areas}


def _counted(outcomes: Iterable[Outcome]) -> dict[Status, int]:
    counter = Counter(one.status for one in outcomes)
    return {status: counter[status] for status in Status}


def solve_sum(case: Case) -> Found:
    """The answers of a worked sum: "answer" is what was asked for, in the unit in which it is expected."""
    if case.name not in sums.KINDS:
        raise Unsupported(f"the kind {case.kind}")
    given = {name: _as_text(value) for name, value in case.given.items()}
    try:
        worked = sums.work(case.name, given, drug=case.drug, asked=case.asked)
    except Refused as refused:
        unknown = [fault.field for fault in refused.faults if fault.rule == sums.UNKNOWN]
        if unknown:
            raise Unsupported(f"the input {', '.join(unknown)} of {case.kind}") from refused
        raise
    answers = {one.name: (one.value, *one.also) for one in worked.results}
    return {"answer": _in_the_unit_expected(worked.results, case), **answers}


def _as_text(value: Held) -> str:
    if isinstance(value, str | int):
        return str(value)
    if isinstance(value, Mapping):
        raise Unsupported("a table as an input of a sum")
    return ", ".join(_as_text(one) for one in value)


def _in_the_unit_expected(results: tuple[Result, ...], case: Case) -> tuple[Answer, ...]:
    """The result asked for; where the expected unit does not fit it, the first of the others that it fits."""
    expected = read_expected(str(case.expect.get("answer", "")))
    for one in results:
        forms = (one.value, *one.also)
        if any(alike(reading, form) for reading in expected for form in forms):
            return forms
    return (results[0].value, *results[0].also)


SOLVERS: dict[str, Solver] = {"sum": solve_sum, "dates": solve_sum}
"""The solvers of this storey, by area."""


def verify(cases: Iterable[Case], solvers: Mapping[str, Solver] = SOLVERS) -> Report:
    """Run every case. Nothing is skipped: what has no solver, kind or name here is reported as unsupported."""
    return Report(tuple(_outcome(case, solvers) for case in cases))


def _outcome(case: Case, solvers: Mapping[str, Solver]) -> Outcome:
    expected = ", ".join(_told_expected(name, value) for name, value in case.expect.items())
    if case.area not in solvers:
        return Outcome(case, Status.UNSUPPORTED, expected, "", f"the area {case.area}")
    try:
        found = solvers[case.area](case)
    except Unsupported as unsupported:
        return Outcome(case, Status.UNSUPPORTED, expected, "", str(unsupported))
    except Refused as refused:
        if list(case.expect.values()) == ["invalid"]:
            return Outcome(case, Status.PASSED, expected, "invalid", str(refused))
        return Outcome(case, Status.FAILED, expected, "refused", str(refused))
    missing = [name for name in case.expect if name not in found]
    if missing:
        return Outcome(case, Status.UNSUPPORTED, expected, "", f"the answer {', '.join(missing)} of {case.kind}")
    came = ", ".join(_told(name, found[name][0]) for name in case.expect)
    unmet = [name for name, value in case.expect.items() if not _met(value, found[name], case)]
    if unmet:
        return Outcome(case, Status.FAILED, expected, came, f"{', '.join(unmet)} is not as expected")
    return _against_print(case, found, expected, came)


def _met(expected: Held, forms: tuple[Answer | Fraction | str | Answers, ...], case: Case) -> bool:
    tolerance, relative = case.tolerance or Fraction(0), case.tolerance_relative or Fraction(0)
    if isinstance(expected, tuple):
        lists = [form for form in forms if isinstance(form, tuple) and len(form) == len(expected)]
        return any(all(_met(one, (each,), case) for one, each in zip(expected, form, strict=True)) for form in lists)
    if not isinstance(expected, str | int):
        return False
    if " ".join(str(expected).split()) in forms:
        return True  # an answer in words or digits of a code: 00312345678906 is no number
    others = [form for form in forms if not isinstance(form, str | tuple)]
    readings = read_expected(str(expected)) if others else ()
    return any(meets(reading, form, tolerance, relative) for reading in readings for form in others)


def _against_print(case: Case, found: Found, expected: str, came: str) -> Outcome:
    """A print is held to what `print_is` says; a print that claims more than it keeps is a fault of the case."""
    prints = _prints(case, found)
    off = [name for name, printed in prints.items() if not _holds(printed, found[name], case.print_is)]
    if not off:
        return Outcome(case, Status.PASSED, expected, came, "")
    alone = isinstance(case.as_printed, str)
    printed = (
        f"the source prints {', '.join(prints[name] if alone else _told_expected(name, prints[name]) for name in off)}"
    )
    if case.print_is in {"exact", "rounded", "cut"}:
        reason = f"{printed}, which is not the {case.print_is} form of the answer as the case says"
        return Outcome(case, Status.FAILED, expected, came, reason)
    reason = f"{printed} ({case.print_is.replace('_', ' ')})" + (f": {case.note}" if case.note else "")
    return Outcome(case, Status.AGAINST_PRINT, expected, came, reason)


def _prints(case: Case, found: Found) -> dict[str, str]:
    """What the source prints, by name. A text alone is the print of the answer, or of the first that is expected."""
    if not case.print_is:
        return {}
    if isinstance(case.as_printed, str):
        return {"answer" if "answer" in found else next(iter(case.expect)): case.as_printed}
    named = case.as_printed if isinstance(case.as_printed, Mapping) else {}
    return {name: str(text) for name, text in named.items() if name in found and isinstance(text, str | int)}


def _holds(printed: str, answers: tuple[Answer | Fraction | str | Answers, ...], how: str) -> bool:
    forms = [form for form in answers if not isinstance(form, str | tuple)]
    return printed in answers or any(print_holds(printed, form, how) for form in forms)


def _told_expected(name: str, value: Held) -> str:
    text = ", ".join(map(str, value)) if isinstance(value, tuple) else f"{value}"
    return text if name == "answer" else f"{name} {text}"


def _told(name: str, value: Answer | Fraction | str | Answers) -> str:
    text = ", ".join(map(_text, value)) if isinstance(value, tuple) else _text(value)
    return text if name == "answer" else f"{name} {text}"


def _text(value: Answer | Fraction | str) -> str:
    if isinstance(value, Fraction):
        return f"{'-' if value < 0 else ''}{show(Quantity(abs(value), unit('')))}"
    if isinstance(value, Quantity):
        return show(value)
    return value.isoformat(sep=" ", timespec="minutes") if isinstance(value, datetime) else str(value)
