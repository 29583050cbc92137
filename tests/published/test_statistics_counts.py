"""Every open case of statistics is run and met: how many of each standing, and which prints differ.

The published ones are run one by one in test_cases.py, the derived ones in tests/derived, those from memory in tests/science.
"""

from collections import Counter

from drawndose.bench.verification import Status, verify
from drawndose.reference.cases import shipped
from drawndose.science.statistics.cases import KINDS, solve

CASES = [case for case in shipped() if case.area == "statistics"]
BESIDE_PRINT = {"error-rate-1", "bland-altman-1986", "gauge-rr-anova"}


def test_every_open_case_of_statistics_is_met() -> None:
    outcomes = verify(CASES, {"statistics": solve}).outcomes
    assert Counter(one.status for one in outcomes) == {Status.PASSED: 57, Status.AGAINST_PRINT: 3}
    assert {one.case.id for one in outcomes if one.status is Status.AGAINST_PRINT} == BESIDE_PRINT
    assert Counter(case.standing for case in CASES) == {"published": 28, "derived": 21, "memory": 11}


def test_every_kind_has_a_case() -> None:
    assert set(KINDS) == {case.name for case in CASES}


def test_what_is_not_published_says_what_is_not() -> None:
    for case in CASES:
        if case.standing == "memory":
            assert "memory" in case.standing_note
        assert (case.as_printed is None) == (case.standing != "published")
