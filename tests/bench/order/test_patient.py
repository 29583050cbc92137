import pytest

from drawndose.bench.order.model import Patient
from drawndose.bench.order.patient import implausible
from drawndose.quantities import read_quantity
from tests.bench.order.asked import blocking, faults, order, shown, told

BASE = "albuterol 0.15 mg/kg by nebulizer"


@pytest.mark.parametrize(
    "words",
    [
        "weight 20 kg", "weighs 20kg", "wt: 20 kg", "20 kg", "at 20 kg", "20 kilograms", "patient weight is 20 kg", "weight = 20 kg", "(20 kg)",
        "20 kg child", "body weight 20 kg", "weight 20 kg. ",
    ],
)  # fmt: skip
def test_a_weight_is_read_in_kg(words: str) -> None:
    read = order(f"{BASE}, {words}")
    assert (shown(read.patient.weight), read.blocking) == ("20 kg", ())


@pytest.mark.parametrize(
    ("pounds", "told_as"),
    [
        ("44 lb", "44 lb is about 19.96 kg"),
        ("100 pounds", "100 lb is about 45.36 kg"),
        ("22 lbs", "22 lb is about 9.979 kg"),
    ],
)
def test_pounds_are_refused_with_the_conversion_shown(pounds: str, told_as: str) -> None:
    (fault,) = faults(f"{BASE}, weight {pounds}")
    assert fault.field == "weight"
    assert fault.rule == f"weight is taken in kg only ({told_as}: 1 lb is 0.45359237 kg)"


def test_a_stone_is_refused_too() -> None:
    assert told(f"{BASE}, weight 9 stone") == [("weight is taken in kg only", "weight 9 stone")]


@pytest.mark.parametrize("words", ["0.2 kg", "351 kg", "0 kg", "2000 kg"])
def test_a_weight_that_no_patient_has_is_refused(words: str) -> None:
    assert told(f"{BASE}, {words}") == [("a patient's weight lies between 0.3 and 350 kg", words)]


@pytest.mark.parametrize(
    "words",
    [
        "weight 20",
        "20-25 kg",
        "20 or 25 kg",
        "weight 20.0 kg",
        "weight .8 kg",
        "weight . 8 kg",
        "-20 kg",
        "2 0 kg",
        "weight20 kg",
        "about 20 kg",
        "weight 20 kg, weight 21 kg",
        "x 20 kg",
        "2,0 kg",
    ],
)
def test_a_weight_that_could_be_another_is_refused(words: str) -> None:
    assert faults(f"{BASE} {words}")


@pytest.mark.parametrize(
    ("words", "age"),
    [
        ("4 years old", "4 years"), ("4 year old child", "4 years"), ("4-year-old boy", "4 years"), ("age 4 years", "4 years"), ("aged 4 y", "4 years"),
        ("18 months old", "18 months"), ("4 y/o", "4 years"), ("6 weeks of age", "6 weeks"), ("3 days old", "3 days"), ("age: 18 months old", "18 months"),
    ],
)  # fmt: skip
def test_an_age_is_read(words: str, age: str) -> None:
    assert shown(order(f"albuterol 2.5 mg by nebulizer, {words}").patient.age) == age


def test_an_age_above_120_years_is_refused_and_two_ages_too() -> None:
    assert told(f"{BASE}, 20 kg, 121 years old") == [("an age is at most 120 years", "121 years old")]
    assert told(f"{BASE}, 20 kg, age 4 years, age 5 years") == [
        ("the order says it twice, differently", "4 years, 5 years")
    ]


@pytest.mark.parametrize(
    ("weight", "age", "fits"),
    [
        ("3.5 kg", "1 week", True), ("18 kg", "4 years", True), ("70 kg", "40 years", True), ("1 kg", "1 day", True), ("120 kg", "16 years", True),
        ("80 kg", "4 years", False), ("18 kg", "40 years", False), ("10 kg", "2 weeks", False), ("3 kg", "4 years", False), ("0.2 kg", "1 day", False),
    ],
)  # fmt: skip
def test_weight_and_age_must_go_together(weight: str, age: str, fits: bool) -> None:
    patient = Patient(weight=read_quantity(weight), age=read_quantity(age))
    asked = implausible(patient, blocking=True)
    assert (asked == ()) is fits
    assert all(question.blocking and weight in question.asks for question in asked)


def test_an_implausible_weight_stops_only_a_dose_by_weight() -> None:
    assert blocking(f"{BASE}, 80 kg, 4 years old") == ["weight"]
    read = order("albuterol 2.5 mg by nebulizer once, 80 kg, 4 years old")
    assert [(question.field, question.blocking) for question in read.questions] == [("weight", False)]


def test_a_weight_or_an_age_alone_is_not_held_against_anything() -> None:
    assert implausible(Patient(weight=read_quantity("80 kg")), blocking=True) == ()
    assert implausible(Patient(age=read_quantity("4 years")), blocking=True) == ()
