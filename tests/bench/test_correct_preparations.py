"""Correct preparations are let through, and a fault planted in one is found. `make perf-safety` does the same with 2,000."""

from random import Random

import pytest

from drawndose import Status
from drawndose.bench.findings import Level
from tests.correct import BOOK, PLANTED, Correct, correct, grave, planned

SOME = list(correct(120, seed=7))


@pytest.mark.parametrize("ident", [one.id for one in BOOK.presentations if not one.diluent])
def test_every_presentation_is_reached(ident: str) -> None:
    got = (planned(BOOK.presentation(ident), Random(seed)) for seed in range(60))
    assert any(one is not None and one[1].status is Status.READY for one in got)


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
