import pytest

from tests.bench.order.asked import blocking, order, shown


def asked(text: str) -> list[tuple[str, bool]]:
    return [(question.field, question.blocking) for question in order(text).questions]


def test_a_whole_order_leaves_nothing_open() -> None:
    assert asked("albuterol 2.5 mg by nebulizer, made up to 3 mL with normal saline, every 4 hours") == []


def test_every_missing_thing_is_asked_at_once() -> None:
    assert asked("albuterol 0.15 mg/kg in 3 mL") == [
        ("route", True),
        ("fill", True),
        ("weight", True),
        ("frequency", False),
    ]
    assert asked("by nebulizer") == [("drug", True), ("frequency", False)]


def test_a_dose_per_kg_asks_for_the_weight() -> None:
    assert blocking("racepinephrine 2.25 % 0.05 mL/kg by nebulizer") == ["weight"]
    assert blocking("racepinephrine 2.25 % 0.05 mL/kg by nebulizer, 8 kg") == []


def test_a_dose_per_hour_asks_for_how_long_and_for_the_output_and_not_how_often() -> None:
    assert asked("albuterol 10 mg/h by nebulizer") == [("duration", True), ("output", True)]
    assert asked("albuterol 10 mg/h by nebulizer for 4 h") == [("output", True)]
    assert asked("albuterol 10 mg/h by nebulizer for 4 h, output 25 mL/h") == []


@pytest.mark.parametrize("words", ["every 4 hours", "bid"])
def test_a_running_dose_with_an_interval_is_asked(words: str) -> None:
    assert blocking(f"albuterol 10 mg/h by nebulizer for 4 h, output 25 mL/h {words}") == ["frequency"]


@pytest.mark.parametrize("words", ["once", "now", "continuously"])
def test_a_running_dose_may_start_now_or_once(words: str) -> None:
    assert blocking(f"albuterol 10 mg/h by nebulizer for 4 h, output 25 mL/h {words}") == []


@pytest.mark.parametrize("words", ["for 4 hours", "over 1 h", "continuously", "continuous", "for 90 minutes"])
def test_a_single_dose_with_words_of_a_running_one_is_asked(words: str) -> None:
    assert blocking(f"albuterol 10 mg by nebulizer {words}") == ["dose"]


def test_a_treatment_of_some_minutes_is_not_a_running_dose() -> None:
    assert blocking("albuterol 2.5 mg by nebulizer over 10 minutes") == []


def test_a_diluent_without_its_volume_is_asked_for_it() -> None:
    (question,) = order("albuterol 2.5 mg by nebulizer with normal saline").blocking
    assert (question.field, question.asks) == ("fill", "The order says sodium chloride 0.9 %: how much of it?")
    (question,) = order("albuterol 2.5 mg undiluted by nebulizer with saline").blocking
    assert question.asks == "The order says undiluted, and yet saline: how much of it?"
    assert blocking("albuterol 2.5 mg by nebulizer to 3 mL with saline") == []


def test_the_output_says_how_much_diluent_a_running_dose_needs() -> None:
    assert blocking("albuterol 10 mg/h by nebulizer for 4 h with saline, output 25 mL/h") == []


@pytest.mark.parametrize("words", ["three times daily", "every 8 hours"])
def test_a_day_divided_by_one_number_and_given_by_another_is_asked(words: str) -> None:
    (question,) = order(f"budesonide 1 mg/day divided in 2 doses by nebulizer {words}").blocking
    assert question.asks == "budesonide: divided by 2, and given 3 times a day. Which one is right?"


@pytest.mark.parametrize("words", ["twice daily", "every 12 hours", "", "once"])
def test_a_day_divided_as_it_is_given_is_not_asked(words: str) -> None:
    assert blocking(f"budesonide 1 mg/day divided in 2 doses by nebulizer {words}") == []


@pytest.mark.parametrize(
    "text",
    [
        "albuterol 2.5 mg by nebulizer every 4 hours. acetylcysteine 600 mg by nebulizer",
        "albuterol 2.5 mg by nebulizer every 4 hours\nacetylcysteine 600 mg",
        "albuterol 1.25 mg undiluted and ipratropium 0.5 mg by nebulizer",
        "2.5 mg albuterol prn and 0.5 mg ipratropium by nebulizer",
    ],
)
def test_two_orders_in_one_text_are_not_mixed_without_asking(text: str) -> None:
    (question,) = order(text).blocking
    assert (question.field, question.options[0]) == ("drug", "mixed together")


@pytest.mark.parametrize("words", ["mixed together", "in one cup", "in the same cup", "together"])
def test_drugs_that_are_said_to_be_together_are(words: str) -> None:
    read = order(f"albuterol 2.5 mg by nebulizer and ipratropium 0.5 mg by nebulizer, {words}")
    assert read.blocking == ()
    assert [shown(line.dose.amount) for line in read.lines] == ["2.5 mg", "0.5 mg"]


def test_every_question_says_what_is_asked() -> None:
    for text in (
        "by nebulizer",
        "albuterol 10 mg/h",
        "albuterol 2.5 to 5 mg in 3 mL",
        "albuterol 2.5 mg bid q4-6h".replace("bid ", ""),
    ):
        for question in order(text).questions:
            assert question.asks.endswith((".", "?"))
