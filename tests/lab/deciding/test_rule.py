"""A rule: data with a version, and nothing unsafe to be set in it."""

from dataclasses import replace
from fractions import Fraction

import pytest

from drawndose.lab.deciding.rule import LaterFailure, Rule, VolumeBy, read_rule, rule_data
from drawndose.quantities import Refused
from tests.lab.samples import RULE


def test_data_are_the_way_there_and_back() -> None:
    made = replace(RULE, percent_floor=Fraction(151, 2), volume=VolumeBy.READ, edition=2, replaces=RULE.version)
    assert read_rule(rule_data(made)) == made
    assert len({RULE.version, made.version, read_rule(rule_data(made)).version}) == 2
    assert RULE.name == f"House rule, edition 1 ({RULE.version[:8]})"


def test_a_rule_from_before_the_choice_keeps_its_version_and_says_that_a_sign_off_ends() -> None:
    assert "later_failure" not in rule_data(RULE)
    assert read_rule(rule_data(RULE)).later_failure is LaterFailure.ENDS
    other = replace(RULE, later_failure=LaterFailure.SUSPENDED)
    assert read_rule(rule_data(other)) == other
    assert other.version != RULE.version
    with pytest.raises(Refused, match="later_failure: one word of a closed list"):
        read_rule(rule_data(RULE) | {"later_failure": "forgiven"})


def test_everything_wrong_is_told_at_once() -> None:
    data = rule_data(RULE) | {
        "schema": "x",
        "percent_floor": 101,
        "volume": "by eye",
        "attempts": 0,
        "days_between": "1",
        "valid_months": -1,
        "colour": "red",
    }
    with pytest.raises(Refused) as caught:
        read_rule(data)
    assert [one.field for one in caught.value.faults] == [
        "rule.schema",
        "rule.percent_floor",
        "rule.volume",
        "rule.attempts",
        "rule.days_between",
        "rule.valid_months",
        "rule.colour",
    ]


@pytest.mark.parametrize("came", [None, True, "many", "-1", 80.5])
def test_a_percent_is_exact(came: object) -> None:
    with pytest.raises(Refused, match=r"percent_floor: an exact number is needed"):
        read_rule(rule_data(RULE) | {"percent_floor": came})


def test_a_critical_step_that_may_be_failed_is_not_critical() -> None:
    with pytest.raises(Refused) as caught:
        Rule(id="r", title="R", all_critical=False, percent_floor=Fraction(-5), attempts=21, within_minutes=-1)
    assert [one.field for one in caught.value.faults] == ["all_critical", "percent_floor", "attempts", "within_minutes"]
    assert "take the mark off the step" in str(caught.value)
    with pytest.raises(Refused, match="not critical"):
        read_rule(rule_data(RULE) | {"all_critical": False})
