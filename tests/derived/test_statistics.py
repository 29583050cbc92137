"""Cases of statistics that are our own arithmetic, worked a second time: they agree with that working, and with nothing outside."""

import pytest

from drawndose.bench.verification import Status, verify
from drawndose.reference.cases import Case, shipped
from drawndose.science.statistics.cases import solve

DERIVED = [case for case in shipped() if case.area == "statistics" and case.standing == "derived"]


@pytest.mark.parametrize("case", DERIVED, ids=lambda case: case.id)
def test_derived_case_is_met(case: Case) -> None:
    outcome = verify([case], {"statistics": solve}).outcomes[0]
    assert outcome.status is Status.PASSED, f"expected {outcome.expected}, came {outcome.came}, {outcome.reason}"
    assert case.as_printed is None
