"""Every shipped case: a check against something outside the project, each naming its source.

A print that disagrees is kept, marked and given its reason; then the exact answer is what must come.
"""

from collections import Counter

import pytest

from drawndose.bench.code_cases import solve as solve_code
from drawndose.bench.verification import SOLVERS, Status, verify
from drawndose.reference.cases import Case, shipped
from drawndose.science.aerosol.cases import solve as solve_aerosol
from drawndose.science.cases import solve
from drawndose.science.statistics.cases import solve as solve_statistics

COUNTS = {
    "aerosol.toml": 43, "codes.toml": 40, "sums.toml": 147, "dates_and_strengths.toml": 11, "metrology.toml": 244, "statistics.toml": 60,
}  # fmt: skip
AGAINST_PRINT = 31
EVERY = SOLVERS | {"aerosol": solve_aerosol, "codes": solve_code, "metrology": solve, "statistics": solve_statistics}
# From memory: tests/science. Of these areas, what is derived rests on our own second working alone: tests/derived.
OUR_OWN = {"aerosol", "statistics"}
NOT_FROM_MEMORY = [
    case
    for case in shipped()
    if case.standing == "published" or (case.standing == "derived" and case.area not in OUR_OWN)
]


@pytest.mark.parametrize("case", NOT_FROM_MEMORY, ids=lambda case: case.id)
def test_case_is_met(case: Case) -> None:
    outcome = verify([case], EVERY).outcomes[0]
    assert outcome.status in {Status.PASSED, Status.AGAINST_PRINT}, (
        f"{case.source}: expected {outcome.expected}, came {outcome.came}, {outcome.reason}"
    )


def test_no_case_is_lost() -> None:
    assert Counter(case.file for case in shipped()) == COUNTS
    assert verify(shipped(), EVERY).counts[Status.AGAINST_PRINT] == AGAINST_PRINT


@pytest.mark.parametrize("case", NOT_FROM_MEMORY, ids=lambda case: case.id)
def test_case_names_its_source(case: Case) -> None:
    assert case.source.strip()
    assert case.standing in {"published", "derived"}
    assert not case.address or case.address.startswith(("http://", "https://"))
    if case.standing == "published":
        assert case.as_printed is not None
        assert case.print_is
