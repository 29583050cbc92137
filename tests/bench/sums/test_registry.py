"""The registry of sums: every kind has one shape, every input a name of its own, and nothing is ignored."""

import pytest

from drawndose.bench.sums import KINDS, UNKNOWN, work
from drawndose.bench.sums.inputs import INPUTS, OTHER_NAMES
from drawndose.bench.sums.quantity_words import tell
from drawndose.quantities import Refused
from tests.bench.sums.asking import faults


def test_there_are_as_many_kinds_as_we_say() -> None:
    assert len(KINDS) == 76


def test_names_and_other_names_are_distinct() -> None:
    assert not set(INPUTS) & set(OTHER_NAMES)
    assert len(OTHER_NAMES) == sum(len(one.also) for one in INPUTS.values())


def test_every_input_is_taken_by_some_kind() -> None:
    taken = {one.name for this in KINDS.values() for one in this.inputs}
    assert sorted(set(INPUTS) - taken) == []


@pytest.mark.parametrize("this", KINDS.values(), ids=lambda this: this.kind)
def test_every_kind_says_what_it_asks_and_takes(this: object) -> None:
    from drawndose.bench.sums import Sum

    assert isinstance(this, Sum)
    assert this.title
    assert this.asks.startswith(("the ", "x ", "drops ", "units", "parts ", "how ", "E "))
    assert this.inputs
    with pytest.raises(Refused):
        work(this.kind, {})


def test_unknown_kind_and_unknown_input_are_refused_with_what_is_known() -> None:
    with pytest.raises(Refused, match="no sum of this kind"):
        work("dose_to_mass", {})
    assert faults("dose_to_volume", dose="1 mg", strenght="5 mg/mL") == [("strenght", UNKNOWN)]


def test_an_input_under_two_names_is_refused() -> None:
    assert faults("dose_to_volume", dose="1 mg", strength="1 %", stock="2 %") == [
        ("stock", "it came twice, once as strength")
    ]


def test_all_faults_of_the_texts_come_together() -> None:
    found = faults("dose_to_volume", dose="5 cc", strength="strong", weight="heavy")
    assert [field for field, _ in found] == ["dose", "strength", "weight"]


@pytest.mark.parametrize(
    "strength",
    ["5", "", "5 mg per 0 mL", "5 mg/cow", "0.5 % (50 mg/mL)", "10:1", "5 mL/mL/mL", "1:x", "5 mg/mg/mL/"],
)
def test_what_is_no_strength_is_refused(strength: str) -> None:
    assert "strength" in {field for field, _ in faults("percent_to_mg_per_mL", strength=strength)}


@pytest.mark.parametrize(
    "step",
    [
        "1 mL of 1:1000 in 10 mL",
        "some",
        "5 mL of 1:1000 made up to 2 mL",
        "1 mL of 1:10 plus 9 mL; 1 mL of 1:5 plus 1 mL",
        "1 mL of x plus 9 mL",
    ],
)
def test_what_is_no_step_is_refused(step: str) -> None:
    assert [field for field, _ in faults("dose_to_volume", dose="1 mg", step=step)] == ["step"]


@pytest.mark.parametrize(
    ("strength", "text"),
    [
        ("10 mg%", "0.1 mg/mL"),
        ("0.5 % (5 mg/mL)", "5 mg/mL"),
        ("pure", "1000 mg/mL"),
        ("1 part in 1000", "1 mg/mL"),
        ("50 ppm", "0.05 mg/mL"),
        ("0.5 percent", "5 mg/mL"),
        ("2 : 1000", "2 mg/mL"),
        ("5 mg in each mL", "5 mg/mL"),
    ],
)
def test_strengths_in_every_form(strength: str, text: str) -> None:
    from tests.bench.sums.asking import is_answer

    assert is_answer(work("percent_to_mg_per_mL", {"strength": strength}), text)


def test_two_steps() -> None:
    from tests.bench.sums.asking import is_answer

    step = "1 mL of 1:1000 plus 9 mL saline; 1 mL of that made up to 10 mL"
    assert is_answer(work("dose_to_volume", {"dose": "10 mcg", "step": step}), "1 mL")


def test_a_strength_stated_twice_in_two_ways_is_refused() -> None:
    found = faults("dose_to_volume", dose="1 mg", strength="1 %", mass="5 mg in 1 mL")
    assert found == [("mass", "it says once more what the strength is")]


def test_a_unit_that_does_not_fit_is_refused() -> None:
    assert faults("volume_to_mass", volume="5 mg", strength="1 %") == [("volume", "the unit does not fit")]


def test_a_worked_sum_says_what_its_answer_is_the_answer_to() -> None:
    assert work("dose_to_volume", {"dose": "2.5 mg", "strength": "0.5 %"}).asked == "volume that holds the dose"
    given = {"ratio": "1:4", "part": "10 mL"}
    either = [work("ratio_parts", given, asked=words) for words in ("volume of diluent", "total volume")]
    assert [(one.asked, tell(one.answer)) for one in either] == [
        ("amount of the diluent part", "40 mL"),
        ("the whole", "50 mL"),
    ]


def test_what_only_hands_back_an_input_is_no_answer() -> None:
    assert faults("dilution_final_volume", final_volume="3 mL")[0][0] == "dilution_final_volume"
    assert faults("dilution_final_strength", mass="1 mg", final_strength="5 mg/mL")[0][0] == "final_strength"


def test_units_that_only_cancel_by_accident_are_refused() -> None:
    assert faults("dilution_final_ratio", strength="0.5 %", start_volume="0.5 mL", final_mass="5 g")
    assert faults("dilution_final_ratio", dose="100 units", final_volume="0.5 mL")
    assert faults("dilution_final_strength", strength="80 mg per 2 mL", start_volume="5 mL", final_mass="5 mg")


def test_inputs_that_contradict_each_other_are_refused() -> None:
    given = {"air": "10 L/min", "oxygen": "6 L/min", "air_fraction": "0.21"}
    ((field, rule),) = faults("gas_mix", total_flow="20 L/min", **given)
    assert field == "percent"
    assert rule.startswith("the inputs disagree: oxygen in the mixture comes out as")


def test_of_two_inputs_that_say_the_same_thing_one_is_refused() -> None:
    rule = "it came beside volume"
    assert ("final_volume", rule) in faults("isotonicity_e_value", volume="1 mL", final_volume="1 mL", isotonic="0.9 %")
    assert faults("mixture_percent", volume_a="1 mL", mass_a="1 g", strength_a="1 %", mass_b="1 g")[0][0] == "mass_a"
