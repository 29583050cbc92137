"""One volume in several instruments: numbers where there is a line, and none at all where there is not."""

import re
from dataclasses import replace
from fractions import Fraction
from math import sqrt

import pytest

from drawndose import load
from drawndose.quantities import Refused
from drawndose.science.beside import Beside, choose, read_volume, side_by_side, surest
from drawndose.science.drawing import Conditions, Operator, Reading

BOOK = load()
HALF = Fraction(1, 2)


def beside(*idents: str, volume: Fraction = HALF, **more: object) -> tuple[Beside, ...]:
    return side_by_side(volume, [BOOK.instrument(ident) for ident in idents], **more)  # type: ignore[arg-type]


def test_half_a_millilitre_three_ways() -> None:
    small, large, dropper = beside("syringe-1", "syringe-3", "dropper-0.25-0.5")
    for one, permissible in ((small, "0.025"), (large, "0.055"), (dropper, "0.075")):
        assert one.judged is not None
        assert one.judged.permissible == Fraction(permissible)
        assert one.judged.budget.dominant.name.startswith("calibration of the ")  # type: ignore[union-attr]
    # A dropper's limit is one rectangle: the chance of being beyond 10 % of it is a third.
    chances = dict(dropper.judged.beyond)  # type: ignore[union-attr]
    assert chances[Fraction(1, 10)].value == pytest.approx(1 / 3, abs=0.005)
    assert chances[Fraction(1, 20)].value == pytest.approx(2 / 3, abs=0.005)
    assert dict(small.judged.beyond)[Fraction(1, 10)].value == 0.0  # type: ignore[union-attr]
    # Two rectangles, of 0.055 mL and of half a step, 0.05 mL: their sum lies beyond 0.05 mL by an area that can be counted.
    area = (0.055 + 0.05 - 0.05) ** 2 / (4 * 0.055 * 0.05)
    assert dict(large.judged.beyond)[Fraction(1, 10)].value == pytest.approx(area, abs=0.005)  # type: ignore[union-attr]


def test_the_surest_is_the_one_with_the_narrowest_interval() -> None:
    found = beside("dropper-0.25-0.5", "syringe-3", "syringe-1", "syringe-5")
    assert [one.instrument.id for one in found] == ["dropper-0.25-0.5", "syringe-3", "syringe-1", "syringe-5"]
    assert surest(found).instrument.id == "syringe-1"  # type: ignore[union-attr]
    assert surest(beside("syringe-5", "syringe-20")) is None


@pytest.mark.parametrize(
    ("ident", "volume", "says"),
    [
        ("syringe-5", "1/2", "0.5 mL has no line on it: it lies between 0.4 mL and 0.6 mL."),
        ("syringe-20", "1/2", "0.5 mL has no line on it: it lies between the end of its scale and its first line, 1 mL."),
        ("dropper-0.25-0.5", "2/5", "0.4 mL has no line on it: it lies between 0.25 mL and 0.5 mL."),
        ("dropper-0.25-0.5", "1", "1 mL does not fit: it holds 0.5 mL."),
    ],
)  # fmt: skip
def test_without_a_line_there_is_no_number_but_the_lines_around(ident: str, volume: str, says: str) -> None:
    (one,) = beside(ident, volume=Fraction(volume))
    assert one.judged is None
    assert one.says == (one.no_line,) == (says,)


def test_settings_reach_the_budget() -> None:
    person = Conditions(reading=Reading.HALF_LINE, away_degC=0.0, operator=Operator(cv=0.05, nu=9.0))
    (one,) = beside("syringe-1", conditions=person)
    assert one.judged is not None
    assert one.judged.budget.u == pytest.approx(sqrt(0.025**2 / 3 + 0.0025**2 / 3 + 0.025**2))
    assert one.judged.budget.nu == pytest.approx(9 * (one.judged.budget.u / 0.025) ** 4)
    assert one.no_line == ""
    assert "effective degrees of freedom 16)." in one.says[1]
    assert "Most comes from the person's spread" in one.says[-1]


def test_the_sentences_say_why_the_trials_count() -> None:
    (one,) = beside("dropper-0.25-0.5", conditions=Conditions(away_degC=0.0))
    assert one.says[:3] == (
        "May be off by 0.075 mL, 15 %, either way.",
        "Standard uncertainty 8.7 %, expanded 17 % at 95 % (k = 1.96, effective degrees of freedom infinite).",
        "95 % of such draws are off by at most 14 %.",
    )
    assert re.fullmatch(r"Chance of being off by more than 5 %: 6[67] %, by more than 10 %: 3[34] %\.", one.says[3])
    # A rectangle's end has the density 1/30 per percent: 0.35 per thousand of the trials are 0.01 percent of the volume.
    assert one.says[4] == (
        "Found by 200,000 trials; their own error (one standard deviation) is 0.01 % in the ends and 0.11 % in the chances."
    )
    assert one.says[5:] == (
        "The trials count here, not the expanded uncertainty: k times u is wider than all the limits added up.",
        "Most comes from calibration of the calibrated dropper, marks at 0.25 and 0.5 mL: 100 % of the variance.",
    )


def test_the_same_seed_gives_the_same_answer_and_another_one_another() -> None:
    assert beside("syringe-1") == beside("syringe-1")
    one, other = (beside("syringe-1", seed=seed)[0].judged for seed in (1, 2))
    assert one.trial.high != other.trial.high  # type: ignore[union-attr]


@pytest.mark.parametrize("text", ["", "half", "0 mL", "0", "2 mg", "1,5 mL"])
def test_a_volume_that_cannot_be_compared_is_refused_at_its_box(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        read_volume(text)
    assert {fault.field for fault in refusal.value.faults} == {"volume"}


@pytest.mark.parametrize(
    ("idents", "rules"),
    [
        (["syringe-1"], ["two to four instruments, each once, stand side by side"]),
        ([], ["two to four instruments, each once, stand side by side"]),
        (["syringe-1", "syringe-1"], ["two to four instruments, each once, stand side by side"]),
        (["syringe-1", "syringe-2", "syringe-3", "syringe-5", "syringe-10"],
         ["two to four instruments, each once, stand side by side"]),
        (["syringe-1", "spoon"], ["the instrument is not known here"]),
        (["spoon"], ["the instrument is not known here", "two to four instruments, each once, stand side by side"]),
    ],
)  # fmt: skip
def test_two_to_four_known_instruments_stand_side_by_side(idents: list[str], rules: list[str]) -> None:
    with pytest.raises(Refused) as refusal:
        choose(idents, BOOK.measures)
    assert [fault.rule for fault in refusal.value.faults] == rules


def test_chosen_instruments_keep_their_order() -> None:
    assert [one.id for one in choose(["syringe-3", "syringe-1"], BOOK.measures)] == ["syringe-3", "syringe-1"]


def test_a_measure_without_any_error_owes_it_to_nothing() -> None:
    dropper = BOOK.instrument("dropper-0.25-0.5")
    exact = replace(
        dropper,
        tolerance=replace(dropper.tolerance, below_half_of_volume=Fraction(0), from_half_of_volume=Fraction(0)),
    )
    (one,) = side_by_side(HALF, [exact], Conditions(away_degC=0.0))
    assert one.judged is not None
    assert one.judged.budget.contributions == ()
    assert not any("Most comes" in line for line in one.says)
