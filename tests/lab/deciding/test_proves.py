"""What a pass proves: by hand for a small form, in the right direction for every change, and said in sentences."""

from dataclasses import replace
from fractions import Fraction
from math import erf, sqrt

import pytest

from drawndose.lab.deciding.proves import EXPERT, NOVICE, Learner, inside, proves
from drawndose.lab.deciding.rule import Rule, VolumeBy
from drawndose.lab.forms.shipped import shipped_form
from drawndose.quantities import Refused
from drawndose.science.statistics.pass_rule import Eye
from tests.lab.samples import FORM, RULE

TENTH = Fraction(1, 10)
BARE = Rule(
    id="bare",
    title="Bare",
    percent_floor=Fraction(0),
    volume=VolumeBy.NOT_ASKED,
    sum_right=False,
    label_right=False,
    attempts=2,
    second_on_last=False,
)
HALF = Learner(name="half", critical=0.5, other=0.5, sum_right=0.5, label_right=0.5, sd=0.1)


def test_by_hand_two_critical_steps_of_one_half_each() -> None:
    found = proves(BARE, FORM, TENTH, novice=HALF, expert=HALF).novice
    assert found.by_attempt == pytest.approx((1 / 4, 1 - (3 / 4) ** 2))


def test_an_eye_that_invents_marks_does_not_make_a_wrong_sum_right() -> None:
    asked = replace(BARE, sum_right=True, attempts=1)
    seen = proves(asked, FORM, TENTH, novice=HALF, eye=Eye(misses=0.0, invents=1.0)).novice
    assert seen.passes == pytest.approx(1 / 2)


def test_by_hand_each_thing_asked_for_beside_halves_it_again() -> None:
    asked = replace(BARE, sum_right=True, label_right=True, volume=VolumeBy.READ, attempts=1)
    found = proves(asked, FORM, TENTH, novice=HALF, expert=HALF).novice
    assert found.passes == pytest.approx(1 / 16 * erf(1 / sqrt(2)))


def test_the_whole_form_asked_for_is_the_product_of_its_steps() -> None:
    asked = replace(BARE, percent_floor=Fraction(100), attempts=1)
    assert proves(asked, FORM, TENTH, novice=HALF).novice.passes == pytest.approx(1 / 16)


def test_the_error_of_staff_as_it_was_published() -> None:
    assert 1 - inside(Fraction(1, 20), EXPERT.sd) == pytest.approx(0.016, abs=0.0015)  # 29 of 1767, CMAJ 178(1):42
    assert inside(TENTH, 0.0) == 1.0


def test_every_change_goes_the_right_way() -> None:
    form = shipped_form("t1-dropper-bottle")
    usual = proves(RULE, form, TENTH)
    assert usual.novice.passes < usual.expert.passes
    assert proves(replace(RULE, attempts=6), form, TENTH).novice.passes > usual.novice.passes
    assert proves(RULE, form, Fraction(2, 100)).expert.fails > usual.expert.fails
    seen = proves(RULE, form, TENTH, eye=Eye(misses=0.0, invents=0.5))
    assert seen.novice.passes > usual.novice.passes
    assert (
        proves(replace(RULE, second_on_last=False), form, TENTH, eye=Eye(invents=0.5)).novice.passes
        > seen.novice.passes
    )


def test_little_is_said_to_be_little() -> None:
    found = proves(RULE, shipped_form("t1-dropper-bottle"), TENTH)
    (last,) = [one for one in found.cautions if one.startswith("Few attempts prove little")]
    assert "at least 5 %, 3 in a row only 37 % (95 % sure)" in last
    assert "takes 29 good ones in a row" in last
    single = proves(replace(RULE, attempts=1), FORM, TENTH).cautions[-1]
    assert "in a row only" not in single
    assert found.says.startswith("A novice passes within the attempts allowed in ")


def test_a_rule_that_passes_novices_or_fails_experts_is_cautioned() -> None:
    easy = proves(BARE, FORM, TENTH, novice=NOVICE)
    assert easy.cautions[0].startswith("This rule passes a novice in ")
    assert "No volume is measured: the dose itself is not shown by a pass." in easy.cautions
    hard = proves(replace(RULE, attempts=1, percent_floor=Fraction(100)), shipped_form("t2-stoppered-vial"), TENTH)
    assert [one[:24] for one in hard.cautions] == ["This rule fails an exper", "Few attempts prove littl"]


@pytest.mark.parametrize("tolerance", [Fraction(0), Fraction(1), Fraction(-1)])
def test_a_tolerance_is_a_share(tolerance: Fraction) -> None:
    with pytest.raises(Refused, match="a share of the volume is wanted"):
        proves(RULE, FORM, tolerance)
