"""Every open case of aerosol is run and met: how many of each standing, which of them prove nothing, which prints differ.

The published ones are run one by one in test_cases.py, the derived ones in tests/derived, the one from memory in tests/science.
"""

from collections import Counter

from drawndose.bench.verification import Status, verify
from drawndose.reference.cases import shipped
from drawndose.science.aerosol.cases import KINDS, solve

CASES = [case for case in shipped() if case.area == "aerosol"]
FITTED = {"tobra-80mg-unvented", "unvented-efficiency"}
"""A constant was fitted to the very result: they show that it is plausible, and no more."""

BESIDE_PRINT = {"mesh-duty-070", "breath-enhanced-efficiency", "lung-breath-enhanced", "lung-mesh"}


def test_every_open_case_of_aerosol_is_met() -> None:
    outcomes = verify(CASES, {"aerosol": solve}).outcomes
    assert Counter(one.status for one in outcomes) == {Status.PASSED: 39, Status.AGAINST_PRINT: 4}
    assert {one.case.id for one in outcomes if one.status is Status.AGAINST_PRINT} == BESIDE_PRINT
    assert Counter(case.standing for case in CASES) == {"published": 16, "derived": 26, "memory": 1}


def test_every_kind_but_one_of_our_own_has_a_case() -> None:
    assert set(KINDS) - {case.name for case in CASES} == {"f_inh_square"}


def test_a_case_with_a_constant_fitted_to_its_own_result_says_so() -> None:
    assert {case.id for case in CASES if "worked back from this very result" in case.standing_note} == FITTED
    assert all("plausibility, not proof" in case.standing_note for case in CASES if case.id in FITTED)
