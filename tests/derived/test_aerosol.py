"""Cases of aerosol that are our own arithmetic, worked a second time: they agree with that working, and with no measurement."""

import pytest

from drawndose.bench.verification import Status, verify
from drawndose.reference.cases import Case, shipped
from drawndose.science.aerosol.cases import solve

DERIVED = [case for case in shipped() if case.area == "aerosol" and case.standing == "derived"]


@pytest.mark.parametrize("case", DERIVED, ids=lambda case: case.id)
def test_derived_case_is_met(case: Case) -> None:
    outcome = verify([case], {"aerosol": solve}).outcomes[0]
    assert outcome.status is Status.PASSED, f"expected {outcome.expected}, came {outcome.came}, {outcome.reason}"
    assert case.as_printed is None
