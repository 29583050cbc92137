"""What a pass proves: against every outcome written down, against the binomial, and against drawn tries."""

from fractions import Fraction
from itertools import product
from math import prod

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics.pass_rule import Eye, PassRule, Step, curve, one_try, operating_characteristic

STEPS = st.lists(
    st.builds(
        Step,
        chance=st.sampled_from([0.0, 0.25, 0.5, 0.9, 1.0]),
        critical=st.booleans(),
        weight=st.sampled_from([0, 1, 2, Fraction(1, 2)]),
    ),
    min_size=1,
    max_size=5,
).filter(lambda steps: sum(step.weight for step in steps) > 0)


def by_listing(steps: list[Step], rule: PassRule, eye: Eye, evaluators: int) -> float:
    """Every way in which the steps are done and seen, with its chance in whole fractions."""
    passed = Fraction(0)
    points = sum(Fraction(step.weight) for step in steps)
    miss, invent = Fraction(eye.misses), Fraction(eye.invents)
    for done in product((True, False), repeat=len(steps)):
        for seen in product((True, False), repeat=len(steps) * evaluators):
            chance = prod(Fraction(s.chance) if d else 1 - Fraction(s.chance) for s, d in zip(steps, done, strict=True))
            ok = True
            for who in range(evaluators):
                mine = seen[who * len(steps) : (who + 1) * len(steps)]
                for d, s in zip(done, mine, strict=True):
                    yes = 1 - miss if d else invent
                    chance *= yes if s else 1 - yes
                score = sum(Fraction(one.weight) for one, s in zip(steps, mine, strict=True) if s)
                critical = all(s or not one.critical for one, s in zip(steps, mine, strict=True))
                ok = ok and score * 100 >= rule.percent_floor * points and (critical or not rule.all_critical)
            passed += chance if ok else 0
    return float(passed)


@settings(deadline=None, max_examples=60)
@given(STEPS, st.sampled_from([0, 50, 75, Fraction(200, 3), 100]), st.booleans())
def test_one_evaluator_meets_every_outcome_written_down(steps: list[Step], floor: Fraction, critical: bool) -> None:
    rule, eye = PassRule(attempts=1, percent_floor=floor, all_critical=critical), Eye(misses=0.125, invents=0.25)
    assert one_try(steps, rule, eye=eye) == pytest.approx(by_listing(steps, rule, eye, 1), abs=1e-12)


@settings(deadline=None, max_examples=30)
@given(STEPS.filter(lambda steps: len(steps) < 4), st.sampled_from([0, 75, 100]), st.booleans())
def test_two_evaluators_meet_every_outcome_written_down(steps: list[Step], floor: int, critical: bool) -> None:
    rule, eye = PassRule(attempts=1, percent_floor=floor, all_critical=critical), Eye(misses=0.125, invents=0.25)
    found = one_try(steps, rule, eye=eye, evaluators=2)
    assert found == pytest.approx(by_listing(steps, rule, eye, 2), abs=1e-12)
    assert found <= one_try(steps, rule, eye=eye) + 1e-12


def test_nineteen_equal_steps_are_the_binomial() -> None:
    steps = [Step(chance=0.85)] * 19
    for floor in (0, 75, 80, 100):
        wanted = -(-19 * floor // 100)
        found = one_try(steps, PassRule(attempts=1, percent_floor=floor))
        assert found == pytest.approx(stats.binom.sf(wanted - 1, 19, 0.85), abs=1e-12)


def test_a_floor_that_is_met_exactly_is_met() -> None:
    steps = [Step(chance=1.0)] * 3 + [Step(chance=0.0)]
    assert one_try(steps, PassRule(attempts=1, percent_floor=75)) == 1.0
    assert one_try(steps, PassRule(attempts=1, percent_floor=Fraction(7501, 100))) == 0.0


def test_drawn_tries_agree() -> None:
    chance = np.random.default_rng(11)
    p = np.array([0.95, 0.9, 0.8, 0.7, 0.99, 0.6])
    done = chance.random((200_000, 6)) < p
    inside = chance.random(200_000) < 0.9
    drawn = (done[:, 0] & done[:, 4] & (done.sum(axis=1) >= 5) & inside).mean()
    steps = [Step(chance=float(one), critical=place in (0, 4)) for place, one in enumerate(p)]
    assert one_try(steps, PassRule(attempts=1, percent_floor=80), 0.9) == pytest.approx(drawn, abs=0.004)


def test_three_tries_pass_many_who_cannot() -> None:
    novice = [Step(chance=0.9, critical=True)] * 6 + [Step(chance=0.85)] * 13
    rule = PassRule(attempts=3, percent_floor=80)
    found = operating_characteristic([novice], rule, [0.8])
    assert found.each[0] < 0.5 < found.passes < 1.0
    assert found.passes == pytest.approx(1 - (1 - found.each[0]) ** 3)
    assert found.passes + found.fails == 1.0
    assert list(found.by_attempt) == sorted(found.by_attempt)


def test_practice_between_tries_and_a_second_evaluator_on_the_last() -> None:
    first, later = [Step(chance=0.5, critical=True)], [Step(chance=0.75, critical=True)]
    eye = Eye(invents=0.5)
    rule = PassRule(attempts=2, second_on_last=True)
    found = operating_characteristic([first, later], rule, [1.0, 0.5], eye)
    assert found.each == (0.75, 0.5 * (0.75 + 0.25 * 0.25))
    assert found.by_attempt == pytest.approx((0.75, 1 - 0.25 * (1 - 0.40625)))


def test_the_curve_rises() -> None:
    points = curve(6, 13, PassRule(attempts=2, percent_floor=75), [place / 20 for place in range(21)], 0.9)
    values = [passes for _, passes in points]
    assert values == sorted(values)
    assert values[0] == 0.0
    assert values[-1] == pytest.approx(0.99)


def test_every_fault_is_told_together() -> None:
    with pytest.raises(Refused) as caught:
        one_try([Step(chance=1.5), Step(chance=0.5, weight=-1)], PassRule(attempts=1))
    assert [fault.field for fault in caught.value.faults] == ["steps, step 1", "steps, step 2"]
    for steps in ([], [Step(chance=0.5, weight=0)]):
        with pytest.raises(Refused, match="some step has points"):
            one_try(steps, PassRule(attempts=1))
    with pytest.raises(Refused, match="divide too finely"):
        one_try([Step(chance=0.5, weight=Fraction(1, 3001)), Step(chance=0.5)], PassRule(attempts=1))
    with pytest.raises(Refused, match="one watches a try, or two"):
        one_try([Step(chance=0.5)], PassRule(attempts=1), evaluators=3)
    with pytest.raises(Refused, match="one for all tries, or one for each"):
        operating_characteristic([[Step(chance=0.5)]] * 2, PassRule(attempts=3))
    for rule in (PassRule(attempts=0), PassRule(attempts=1, percent_floor=101)):
        with pytest.raises(OutOfRange):
            operating_characteristic([[Step(chance=0.5)]], rule)
    with pytest.raises(OutOfRange):
        one_try([Step(chance=0.5)], PassRule(attempts=1), eye=Eye(misses=2.0))
