"""Correct preparations are let through, and a fault planted in one is found. `make perf-safety` does the same with 2,000."""

import pytest

from drawndose.bench.findings import Level
from tests.correct import BOOK, PLANTED, Correct, correct, grave

SOME = list(correct(160, seed=7))


def test_they_cover_the_catalogue() -> None:
    covered = {one.presentation.id for one in SOME}
    assert {one.id for one in BOOK.presentations if not one.diluent} == covered


@pytest.mark.parametrize("one", SOME, ids=[f"{place}-{one.presentation.id}" for place, one in enumerate(SOME)])
def test_a_correct_preparation_is_not_stopped(one: Correct) -> None:
    assert grave(one.findings, Level.STOP) == []


def test_they_are_cautioned_less_than_once_each() -> None:
    assert sum(len(grave(one.findings, Level.CAUTION)) for one in SOME) < len(SOME)


@pytest.mark.parametrize("what", PLANTED)
def test_a_planted_fault_is_found_wherever_it_can_be_planted(what: str) -> None:
    rule, plant = PLANTED[what]
    found = [plant(one) for one in SOME]
    planted = [one for one in found if one is not None]
    assert planted or what == "filter needle left on"
    assert all(rule in {finding.rule for finding in one} for one in planted)
