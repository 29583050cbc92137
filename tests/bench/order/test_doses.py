import pytest

from drawndose.bench.order.doses import (
    DIVIDED,
    DOSE,
    LIMIT,
    RANGE,
    STRENGTH,
    read_dose,
    read_named_strength,
    read_range,
    same_kind,
)
from drawndose.quantities import Form, Refused, show
from tests.bench.order.asked import blocking, doses, order, refused_or_asked, shown, told

POINT = "a point without a digit before it is read as ten times more"
ZERO = "a zero at the end of a decimal is read as ten times more"
NOT_UNDERSTOOD = "this was not understood, and nothing in an order is skipped"


def dose(text: str) -> str:
    match = DOSE.fullmatch(text)
    assert match is not None
    return show(read_dose(match, "albuterol"))


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("2.5 mg", "2.5 mg"), ("2.5mg", "2.5 mg"), ("2.5 MG", "2.5 mg"), ("2.5 milligrams", "2.5 mg"), ("250 mcg", "250 mcg"),
        ("250 \u00b5g", "250 mcg"), ("6 g", "6 g"), ("0.5 mL", "0.5 mL"), ("1,000,000 units", "1,000,000 units"),
        ("1 million units", "1,000,000 units"), ("1million IU", "1,000,000 units"), ("500 thousand units", "500,000 units"),
        ("0.15 mg/kg", "0.15 mg per kg"), ("0.15 mg / kg", "0.15 mg per kg"), ("0.15 mg per kg per dose", "0.15 mg per kg"),
        ("0.15 mg/kg/dose", "0.15 mg per kg"), ("2.5 mg/dose", "2.5 mg"), ("10 mg/h", "10 mg per h"), ("10 mg per hour", "10 mg per h"),
        ("0.5 mg/kg/h", "0.5 mg per kg per h"), ("1 mg/day", "1 mg per day"), ("0.3 mg/kg/day", "0.3 mg per kg per day"),
        ("2.5 mmol", "2.5 mmol"), ("3 breaths", "3 breaths"),
    ],
)  # fmt: skip
def test_a_dose_is_read_as_it_is_written(text: str, meant: str) -> None:
    assert dose(text) == meant


@pytest.mark.parametrize(
    "text", ["2.5", "mg", "2.5 mgs/kgs", "10 mg/h/dose", "1 unit dose", "2.5 m g", "a2.5 mg", "2.5 mg/20 kg"]
)
def test_what_is_no_dose_is_not_taken_for_one(text: str) -> None:
    assert DOSE.fullmatch(text) is None


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        (".5 mg", POINT), ("1.0 mg", ZERO), ("2.50 mg", ZERO), ("2.5.0 mg", "a number is digits with at most one point"),
        ("2..5 mg", "a number is digits with at most one point"), ("2,5 mg", "a comma must part thousands, and 2,5 could be 2.5 or 25"),
        ("02.5 mg", "a number does not start with 0 and another digit"), ("0 mg", "a dose of nothing is no dose"),
        ("1234567890123456 mg", "a number has at most 15 digits"),
    ],
)  # fmt: skip
def test_a_number_that_could_be_ten_times_more_is_refused(text: str, rule: str) -> None:
    with pytest.raises(Refused) as refusal:
        dose(text)
    assert refusal.value.faults[0].rule == rule


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("2.5 to 5 mg", "2.5 mg", "5 mg"), ("2.5-5 mg", "2.5 mg", "5 mg"), ("2.5 \u2013 5 mg", "2.5 mg", "5 mg"),
        ("2.5 mg or 5 mg", "2.5 mg", "5 mg"), ("500 mcg to 1 mg", "500 mcg", "1 mg"), ("1 to 2 million units", "1,000,000 units", "2,000,000 units"),
        ("1 million to 2 million units", "1,000,000 units", "2,000,000 units"), ("500,000 units to 1 million units", "500,000 units", "1,000,000 units"),
        ("0.1 mg/kg to 0.15 mg/kg", "0.1 mg per kg", "0.15 mg per kg"), ("0.1 to 0.15 mg/kg", "0.1 mg per kg", "0.15 mg per kg"),
    ],
)  # fmt: skip
def test_each_end_of_a_range_is_read_in_its_own_unit(text: str, low: str, high: str) -> None:
    match = RANGE.fullmatch(text)
    assert match is not None
    assert same_kind(match)
    assert tuple(show(end) for end in read_range(match, "it")) == (low, high)


@pytest.mark.parametrize("text", ["5 to 2.5 mg", "1 g to 2 mg", "5 to 5 mg", "2.5 mg to 5 mL"])
def test_a_range_goes_from_the_smaller_to_the_larger_of_one_kind(text: str) -> None:
    match = RANGE.fullmatch(text)
    assert match is not None
    with pytest.raises(Refused, match="a range goes from the smaller to the larger"):
        read_range(match, "it")


def test_both_ends_of_a_range_are_faulted_together() -> None:
    assert told("albuterol 1.0 to .5 mg by nebulizer") == [(ZERO, "1.0"), (POINT, ".5")]


def test_a_range_is_asked_with_its_ends_as_options() -> None:
    (asked,) = order("albuterol 500 mcg to 1 mg by nebulizer").blocking
    assert (asked.field, asked.options) == ("dose", ("500 mcg", "1 mg"))


def test_a_range_of_volumes_may_be_a_dose_and_its_fill_and_says_so() -> None:
    (asked,) = order("albuterol 0.5 % 0.5 mL to 3 mL by nebulizer").blocking
    assert asked.options == ("0.5 mL", "3 mL", "0.5 mL, made up to 3 mL")
    (asked,) = order("albuterol 0.5 % 0.25-0.5 mL by nebulizer").blocking
    assert asked.options == ("0.25 mL", "0.5 mL")


def test_a_dose_to_a_volume_is_a_dose_and_a_fill_not_a_range() -> None:
    read = order("albuterol 2.5 mg to 3 mL by nebulizer")
    assert (shown(read.lines[0].dose.amount), read.lines[0].dose.upper) == ("2.5 mg", None)
    assert shown(read.fill.volume) == "3 mL"


@pytest.mark.parametrize(
    ("text", "ratio", "form"),
    [
        ("0.5 %", "0.005 g per mL", Form.PERCENT_WV), ("2.25% w/v", "0.0225 g per mL", Form.PERCENT_WV),
        ("2.25 percent", "0.0225 g per mL", Form.PERCENT_WV), ("1:1000", "0.001 g per mL", Form.RATIO),
        ("1 : 1,000", "0.001 g per mL", Form.RATIO), ("1 in 10,000", "0.0001 g per mL", Form.RATIO),
        ("5 mg/mL", "5 mg per mL", Form.PER_VOLUME), ("2.5 mg per 0.5 mL", "5 mg per mL", Form.PER_VOLUME),
        ("1 million units/mL", "1,000,000 units per mL", Form.PER_VOLUME), ("300 mg/vial", "300 mg per container", Form.PER_CONTAINER),
    ],
)  # fmt: skip
def test_a_strength_is_read_as_it_is_written(text: str, ratio: str, form: Form) -> None:
    match = STRENGTH.fullmatch(text)
    assert match is not None
    read = read_named_strength(match, "it")
    assert (show(read.ratio), read.form) == (ratio, form)


@pytest.mark.parametrize(
    "words",
    [
        "1:10000000005mL", "1:100000000000000000000000005 mL", ".1:1000 5 mL", "11:1000 5 mL", "0.1:1000 5 mL", "1:1000.5 mL",
        "1:1000:5 mL", "1:1000/5 mL", "1:2 5 mL", "1 in 4 5 mL", "1:30 5 mL", "1:1,00 5 mL", "q1:1000 5 mL", "1:0 5 mL",
        "1.0 % 5 mL", ".5 % 5 mL", "0.5 % 1:1000 5 mL", "0.5 % w/w 5 mL",
    ],
)  # fmt: skip
def test_a_strength_is_never_a_piece_of_a_longer_number_nor_a_mixing_ratio(words: str) -> None:
    assert refused_or_asked(f"epinephrine {words} by nebulizer")


def test_a_comma_after_a_ratio_parts_it_from_what_follows() -> None:
    assert doses("epinephrine 1:1000, 5 mL by nebulizer") == [("epinephrine", "5 mL")]
    assert doses("epinephrine 1 in 1,000, 5 mL by nebulizer") == [("epinephrine", "5 mL")]


def test_a_strength_alone_is_no_dose() -> None:
    assert blocking("albuterol 2.5mg/0.5ml by nebulizer") == ["dose"]
    assert blocking("albuterol 0.5 % by nebulizer") == ["dose"]


def test_two_strengths_must_agree_in_whatever_form() -> None:
    assert doses("albuterol 0.5 % (5 mg/mL) 0.5 mL by nebulizer") == [("albuterol", "0.5 mL")]
    rule = "the order names two strengths for one drug: "
    differ = f"{rule}0.5 % (5 mg per mL) and 50 mg per mL"
    assert told("albuterol 0.5 % (50 mg/mL) 0.5 mL by nebulizer") == [(differ, "50 mg/mL")]
    differ = f"{rule}3 % (30 mg per mL) and 7 % (70 mg per mL)"
    assert told("3 % sodium chloride 7 % 4 mL by nebulizer") == [(differ, "7 %")]


@pytest.mark.parametrize(
    ("text", "which"),
    [("max 5 mg", "max"), ("Maximum dose of 5 mg/dose", "Maximum"), ("no more than 5 mg", "no more than")],
)
def test_a_limit_is_found_with_its_amount(text: str, which: str) -> None:
    match = LIMIT.fullmatch(text)
    assert match is not None
    assert (match["which"], show(read_dose(match, "it"))) == (which, "5 mg")


@pytest.mark.parametrize(
    ("text", "times"),
    [("divided in 2 doses", "2"), (", divided by 3", "3"), ("in 4 doses", "4"), ("divided into 3 equal doses", "3")],
)
def test_a_division_is_found_with_its_number(text: str, times: str) -> None:
    match = DIVIDED.fullmatch(text)
    assert match is not None
    assert match["n"] == times


@pytest.mark.parametrize(
    ("words", "divided"),
    [
        ("1 mg/day divided in 2 doses", 2), ("1 mg/day in 2 doses every 12 hours", 2), ("1 mg/d, divided by 4", 4), ("1 mg/day twice daily", None),
    ],
)  # fmt: skip
def test_a_dose_per_day_is_divided_as_it_says(words: str, divided: int | None) -> None:
    read = order(f"budesonide {words} by nebulizer")
    assert (read.lines[0].dose.divided_by, read.blocking) == (divided, ())


def test_a_day_divided_twice_differently_is_refused_and_one_that_is_none_too() -> None:
    rule = "the order divides the day's dose twice, differently"
    assert told("budesonide 1 mg/day divided in 2 doses divided in 4 doses by nebulizer") == [(rule, "4")]
    assert doses("budesonide 1 mg/day divided in 2 doses, in 2 doses by nebulizer") == [("budesonide", "1 mg per day")]
    assert told("budesonide 1 mg, max 4 mg/day, in 4 doses by nebulizer") == [
        ("only a dose per day is divided", "1 mg")
    ]
    assert told("budesonide 1 mg divided in 4 doses by nebulizer")[0][0] == NOT_UNDERSTOOD


@pytest.mark.parametrize(
    "words",
    [
        "2 .5 mg", "2. 5 mg", "2,5 mg", "2.5.0 mg", "2..5 mg", ". 5 mg", ",5 mg", "-2.5 mg", "- 2.5 mg", "\u22122.5 mg", "(2.5) mg", "2.5(mg)",
        "2:5 mg", "2;5 mg", "2/5 mg", "1/2 mg", "2 500 mcg", "1 2.5 mg", "2 + 5 mg", "2&5 mg", "2\u00bd mg", "\uff12.\uff15 mg", "2\u200b.5 mg",
        "2.\u200b5 mg", "2\u200b5 mg", "2\u00b75 mg", "2\u066b5 mg", "2.5 \u043cg", "2.5 \u039cg", "10\u00b2 mg", "2\u20145 mg", "2\n.5 mg", "2\t5 mg",
        "2.\n5 mg", "2.O mg", "l.25 mg", "I0 mg", "2.5O mg", "2.5 mg5 mg", "2.5 mgs/kgs", "2.5 mg/ 20 kg", "2.5 mg per 20 kg", "2.5 mg 5 mg", "25",
        "2.5 mg,5 mL", "up to 2.5 mg", "2.5 mg or so", "about 2.5 mg", "half of 2.5 mg", "1/2 of 5 mg", "double 2.5 mg", "one 5 mg", "2.5 mg each",
        "from 2.5 mg", "to 2.5 mg", "then 2.5 mg", "2.5 mg?", "2.5 mg*", "~2.5 mg", "<2.5 mg", "2.5 mg total", "0 mg", "5 units", "2.5 kg", "1e1 mg",
        "2.5 mg diluted", "2.5 mg made up", "2.5 U", "2.5 drops", "\u0661\u0660 mg", "2.5\u0301 mg", "1,00 mg", "1,0000 mg", "2.5 m\u200bg",
    ],
)  # fmt: skip
def test_no_plan_comes_of_a_dose_that_could_be_another(words: str) -> None:
    assert refused_or_asked(f"albuterol {words} by nebulizer")
