"""No safeguard and no computed rule of safe practice without a context that must bring it up and a near miss that must not."""

import re
from pathlib import Path

import pytest

from tests.both.every import BOTH, SAFEGUARDS, computed, of_rule, without
from tests.both.of_practice import ON_A_STORAGE
from tests.both.pair import Both

TESTS = Path(__file__).parents[1]


@pytest.mark.parametrize("one", BOTH, ids=[f"{place}-{one.rule}" for place, one in enumerate(BOTH)])
def test_it_speaks_where_it_must_and_is_silent_beside_it(one: Both) -> None:
    assert one.holds == (True, True)


def test_every_safeguard_has_both() -> None:
    assert sorted(SAFEGUARDS - {one.rule for one in BOTH}) == []


def test_every_computed_rule_has_both() -> None:
    assert len(computed()) == 89
    assert without() == []


def test_a_rule_without_a_pair_is_named() -> None:
    fewer = [one for one in BOTH if one.rule != "past-in-use-life"]
    assert "vial-28-days" in without(fewer)
    assert "check-digit" in without([one for one in BOTH if one.rule != "check-digit"])
    assert of_rule("record-of-giving", []) == 1


@pytest.mark.parametrize("where", sorted({where for both in ON_A_STORAGE.values() for where in both}))
def test_what_a_storage_must_show_has_its_test(where: str) -> None:
    path, _, name = where.partition("::")
    assert re.search(rf"^def {name}\(", (TESTS / path).read_text(encoding="utf-8"), re.MULTILINE)


def test_a_pair_that_does_not_hold_is_seen() -> None:
    assert Both("deaf", lambda: False, lambda: False).holds == (False, True)
    assert Both("crying wolf", lambda: True, lambda: True).holds == (True, False)
