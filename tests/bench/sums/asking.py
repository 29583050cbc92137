"""One way to ask a sum in tests, and to say what must come."""

from fractions import Fraction

from drawndose.bench.expected import meets, read_expected
from drawndose.bench.sums import Worked, work
from drawndose.bench.sums.quantity_words import tell
from drawndose.bench.verification import Status, verify
from drawndose.quantities import Quantity, Refused
from drawndose.reference.cases import Case

Row = tuple[str, dict[str, str], str, str]
"""kind, given, words of the question, expected answer ("invalid" where it must be refused)."""


def label(row: object) -> str:
    """A readable id for a parametrized row."""
    if isinstance(row, tuple):
        given = ", ".join(f"{name} {text}" for name, text in row[1].items())
        return f"{row[0]}: {given} = {row[3]}"
    return str(row)


def outcome(row: Row, drug: str = "") -> tuple[Status, str]:
    """How the row comes out in the runner of cases, with what came."""
    kind, given, asked, expected = row
    case = Case(
        file="here", id="one", kind=f"sum.{kind}", given=given, expect={"answer": expected}, standing="derived",
        source="own arithmetic", asked=asked, drug=drug,
    )  # fmt: skip
    found = verify([case]).outcomes[0]
    return found.status, f"{found.came} {found.reason}"


def faults(kind: str, asked: str = "", **given: str) -> list[tuple[str, str]]:
    """The fields and rules of a refusal."""
    try:
        worked = work(kind, given, asked=asked)
    except Refused as refused:
        return [(fault.field, fault.rule) for fault in refused.faults]
    raise AssertionError(f"not refused: {worked.answer}")


def is_answer(worked: Worked, text: str) -> bool:
    """True when the answer is the one in the text."""
    return any(meets(one, worked.answer, Fraction(0), Fraction(0)) for one in read_expected(text))


def wrong(kind: str, **given: str) -> dict[str, str]:
    """The named wrong ways with their answers in words."""
    ways = work(kind, given).wrong_ways
    return {one.name: tell(one.answer) if isinstance(one.answer, Quantity) else str(one.answer) for one in ways}
