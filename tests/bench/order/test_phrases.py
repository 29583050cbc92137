import time

import pytest

from drawndose.bench.order import FillRule
from drawndose.bench.order.phrases import diluent_named
from tests.bench.order.asked import blocking, doses, faults, order, refused_or_asked, shown, told

BASE = "albuterol 2.5 mg by nebulizer"
NOT_UNDERSTOOD = "this was not understood, and nothing in an order is skipped"
TWICE = "the order says it twice, differently"


@pytest.mark.parametrize(
    ("words", "rule", "volume", "diluent"),
    [
        ("made up to 3 mL", FillRule.TO_TOTAL, "3 mL", ""),
        ("make up to 3 mL with normal saline", FillRule.TO_TOTAL, "3 mL", "sodium chloride 0.9 %"),
        ("diluted to 3 mL with 0.9 % sodium chloride", FillRule.TO_TOTAL, "3 mL", "sodium chloride 0.9 %"),
        ("made up to 3 mL saline", FillRule.TO_TOTAL, "3 mL", "saline"),
        ("to a total of 3 mL", FillRule.TO_TOTAL, "3 mL", ""),
        ("to a final volume of 3 mL with sterile water", FillRule.TO_TOTAL, "3 mL", "sterile water"),
        ("to 3 mL", FillRule.TO_TOTAL, "3 mL", ""),
        ("to 3 mL with half-normal saline", FillRule.TO_TOTAL, "3 mL", "sodium chloride 0.45 %"),
        ("in a total of 3 mL", FillRule.TO_TOTAL, "3 mL", ""),
        ("total volume 3 mL", FillRule.TO_TOTAL, "3 mL", ""),
        ("3 mL total", FillRule.TO_TOTAL, "3 mL", ""),
        ("3 mL final volume", FillRule.TO_TOTAL, "3 mL", ""),
        ("qs to 3 mL", FillRule.TO_TOTAL, "3 mL", ""),
        ("add 2.5 mL normal saline", FillRule.ADD, "2.5 mL", "sodium chloride 0.9 %"),
        ("plus one 3 mL saline unit dose", FillRule.ADD, "3 mL", "saline"),
        ("with 3 mL of preservative-free 0.9 % NaCl", FillRule.ADD, "3 mL", "sodium chloride 0.9 %"),
        ("diluted with 3 mL water for inhalation", FillRule.ADD, "3 mL", "sterile water"),
        ("adding 3 mL", FillRule.ADD, "3 mL", ""),
        ("+ 2 mL NS", FillRule.ADD, "2 mL", "sodium chloride 0.9 %"),
    ],
)
def test_dilute_to_and_add_are_told_apart(words: str, rule: FillRule, volume: str, diluent: str) -> None:
    read = order(f"{BASE}, {words}")
    assert read.blocking == ()
    assert (read.fill.rule, shown(read.fill.volume), read.diluent) == (rule, volume, diluent)
    assert shown(read.lines[0].dose.amount) == "2.5 mg"


@pytest.mark.parametrize(
    "words",
    [
        "in 3 mL", "in 3 mL normal saline", "diluted in 3 mL saline", "and 3 mL saline", ", 3 mL saline", "3 mL NS",
        "to 3 mL of saline", "to 3 mL normal saline", "up to 3 mL", "up to 3 mL with saline", "normal saline 3 mL",
        "0.9 % sodium chloride, 3 mL",
    ],
)  # fmt: skip
def test_a_volume_that_could_be_in_all_or_added_is_asked_with_both_spellings(words: str) -> None:
    read = order(f"{BASE} {words}")
    assert [question.field for question in read.blocking] == ["fill"]
    assert read.blocking[0].options == ("made up to 3 mL", "add 3 mL")


def test_an_unclear_fill_is_quoted_in_its_question() -> None:
    (asked,) = order(f"{BASE} in 3 mL").blocking
    assert asked.asks == 'Does "in 3 mL" mean 3 mL in all, or 3 mL added? They are not the same.'


@pytest.mark.parametrize("words", ["undiluted", "neat", "do not dilute", "not diluted", "no diluent"])
def test_undiluted_is_a_rule_of_its_own(words: str) -> None:
    read = order(f"{BASE} {words}")
    assert (read.fill.rule, read.fill.volume, read.blocking) == (FillRule.UNDILUTED, None, ())


@pytest.mark.parametrize(
    ("words", "rule"),
    [
        ("in 2.5 to 3 mL saline", "a range of volumes must be chosen"),
        ("to 2 or 3 mL", "a range of volumes must be chosen"),
        ("add 2 mL-3 mL", "a range of volumes must be chosen"),
        ("2.5 to 3 mL normal saline", "a range of volumes must be chosen"),
        ("0.5 mL normal saline 2.5 mL", "a volume stands on each side of the diluent"),
    ],
)
def test_a_fill_that_is_two_volumes_is_refused(words: str, rule: str) -> None:
    assert [found for found, _ in told(f"{BASE} {words}")] == [rule]


def test_a_volume_on_each_side_of_the_diluent_never_gives_the_wrong_one_to_the_drug() -> None:
    text = "albuterol 0.5 % 0.5 mL normal saline 2.5 mL by nebulizer"
    assert told(text) == [("a volume stands on each side of the diluent", "0.5 mL normal saline 2.5 mL")]


@pytest.mark.parametrize("words", ["add 2.5 mL normal saline", "plus 2.5 mL NS", "diluted with 2.5 mL saline"])
def test_a_volume_that_a_verb_joins_to_the_diluent_leaves_the_other_to_the_drug(words: str) -> None:
    read = order(f"by nebulizer {words}, 0.5 mL of 0.5 % albuterol")
    assert (read.fill.rule, shown(read.fill.volume)) == (FillRule.ADD, "2.5 mL")
    assert shown(read.lines[0].dose.amount) == "0.5 mL"


def test_a_fill_said_twice_alike_is_one_fill_and_said_differently_a_fault() -> None:
    assert shown(order(f"{BASE} made up to 3 mL, total volume 3 mL").fill.volume) == "3 mL"
    assert told(f"{BASE} made up to 3 mL, add 3 mL") == [(TWICE, "made up to 3 mL, add 3 mL")]
    assert told(f"{BASE} undiluted, made up to 3 mL") == [(TWICE, "undiluted, made up to 3 mL")]


@pytest.mark.parametrize("words", ["made up to 0 mL", "add 0 mL saline", "every 0 hours", "for 0 min"])
def test_nothing_is_no_amount(words: str) -> None:
    assert [rule for rule, _ in told(f"{BASE} {words}")] == ["0 is no amount to give"]


def test_no_output_is_no_output() -> None:
    assert [rule for rule, _ in told("albuterol 10 mg/h by nebulizer for 4 h, output 0 mL/h")] == [
        "0 is no amount to give"
    ]


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("sterile water", "sterile water"), ("Water for Inhalation", "sterile water"), ("saline", "saline"),
        ("NS", "sodium chloride 0.9 %"), ("normal saline", "sodium chloride 0.9 %"),
        ("0.9% NaCl", "sodium chloride 0.9 %"), ("half strength saline", "sodium chloride 0.45 %"),
        ("sodium chloride 0.45 %", "sodium chloride 0.45 %"),
    ],
)  # fmt: skip
def test_a_diluent_gets_its_own_name(words: str, name: str) -> None:
    assert diluent_named(words) == name


@pytest.mark.parametrize(
    ("words", "interval", "in_a_day"),
    [
        ("every 4 hours", "4 h", None), ("q4h", "4 h", None), ("Q 6 HRS", "6 h", None), ("every 20 minutes", "20 min", None),
        ("every 20 min x 3 doses", "20 min", None), ("every 20 minutes x 3", "20 min", None),
        ("every 4 hours for 3 days", "4 h", None), ("every 4 hours for 3 doses", "4 h", None),
        ("twice daily", "", 2), ("three times a day", "", 3), ("4 times daily", "", 4), ("once daily", "", 1),
        ("6 doses per day", "", 6), ("bid", "", 2), ("TID", "", 3), ("qid", "", 4), ("daily", "", 1),
        ("daily for 5 days", "", 1), ("once", "", None), ("now", "", None), ("every 4 weeks", "", None),
        ("every other day", "", None), ("single dose", "", None),
    ],
)  # fmt: skip
def test_a_frequency_is_read(words: str, interval: str, in_a_day: int | None) -> None:
    read = order(f"{BASE} {words}")
    assert (shown(read.frequency.interval), read.frequency.in_a_day) == (interval, in_a_day)
    assert read.frequency.says == words
    assert read.questions == ()


@pytest.mark.parametrize("words", ["every 4 to 6 hours", "q4-6h", "every 4\u20136 h"])
def test_a_range_of_intervals_is_asked_and_does_not_stop_the_plan(words: str) -> None:
    read = order(f"{BASE} {words}")
    assert read.frequency.unclear
    assert [(question.field, question.blocking) for question in read.questions] == [("frequency", False)]


@pytest.mark.parametrize(
    ("words", "count"),
    [
        ("every 20 min for 3 doses", 3),
        ("every 20 min x 3", 3),
        ("every 20 min x3 doses", 3),
        ("every 20 min, 3 doses", 3),
        ("every 20 minutes times 3", 3),
        ("4 times daily for 12 doses", 12),
        ("daily x 5 doses", 5),
        ("every 4 hours for 5 days", None),
        ("every 4 hours", None),
    ],
)
def test_after_how_many_doses_it_ends_is_read(words: str, count: int | None) -> None:
    assert order(f"{BASE} {words}").frequency.count == count


def test_no_doses_are_refused_and_a_count_that_differs_is_a_fault() -> None:
    assert [fault.rule for fault in faults(f"{BASE} every 20 min for 0 doses")] == ["0 doses are none"]
    assert [fault.rule for fault in faults(f"{BASE} tid for 0 days")] == ["0 days are none"]
    assert any("twice" in fault.rule for fault in faults(f"{BASE} tid for 3 days, tid for 4 days"))
    assert any("twice" in fault.rule for fault in faults(f"{BASE} every 20 min x 3, every 20 min x 4"))
    assert any("twice" in fault.rule for fault in faults(f"{BASE} every 4 hours, 3 times daily"))


def test_two_frequencies_are_one_when_they_mean_the_same() -> None:
    assert order(f"{BASE} bid, twice daily").frequency.in_a_day == 2
    assert told(f"{BASE} q4h q6h") == [(TWICE, "q4h, q6h")]
    assert told(f"{BASE} once weekly") == [(TWICE, "weekly, once")]


@pytest.mark.parametrize(
    "text",
    [
        "every 4 hours x 125 mg albuterol by nebulizer",
        "albuterol 2.5 mg 2 daily by nebulizer",
        "albuterol 2.5 mg by nebulizer, total daily dose 10 mg",
        "albuterol total daily dose 10 mg by nebulizer",
        "albuterol daily dose 10 mg by nebulizer",
        "albuterol 2.5 mg by nebulizer every 2.5 hours",
        "albuterol 2.5 mg by nebulizer twice",
        "albuterol 2.5 mg x 2 by nebulizer",
        "albuterol 2.5 mg by nebulizer x2",
    ],
)
def test_a_count_never_takes_a_piece_of_another_number_nor_vanishes(text: str) -> None:
    assert faults(text)
    assert doses("every 20 min for 12.5 mg albuterol by nebulizer") == [("albuterol", "12.5 mg")]


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ("prn", "reason not said"), ("as needed", "reason not said"), ("prn wheeze", "wheeze"),
        ("as needed for wheezing or shortness of breath", "wheezing or shortness of breath"),
        ("when needed for severe cough, stridor and croup", "severe cough, stridor and croup"),
    ],
)  # fmt: skip
def test_as_needed_keeps_its_reason(words: str, why: str) -> None:
    read = order(f"{BASE} every 4 hours {words}")
    assert (read.as_needed, read.blocking) == (why, ())


@pytest.mark.parametrize(
    "words",
    [
        "hold if the heart races", "do not repeat", "stop at noon", "double the dose if severe", "not for cough", "or half",
    ],
)  # fmt: skip
def test_words_after_the_reason_do_not_vanish_into_it(words: str) -> None:
    assert told(f"{BASE} as needed for wheeze {words}")[0][0] == NOT_UNDERSTOOD


@pytest.mark.parametrize(
    ("words", "device"),
    [
        ("by jet nebulizer", "jet nebulizer"), ("via small-volume nebuliser with mask", "small volume nebulizer with mask"),
        ("using a vibrating mesh nebulizer", "vibrating mesh nebulizer"), ("by breath-enhanced nebulizer", "breath enhanced nebulizer"),
        ("nebulized with a mouthpiece", "mouthpiece"), ("by neb by face mask", "mask"),
    ],
)  # fmt: skip
def test_a_device_is_read_and_a_nebulizer_is_a_route(words: str, device: str) -> None:
    read = order(f"albuterol 2.5 mg {words}")
    assert (read.device, read.route, read.blocking) == (device, "nebulized", ())


def test_two_devices_of_one_kind_are_refused() -> None:
    rule = "the order names two devices of one kind"
    assert told("albuterol 2.5 mg by jet nebulizer by mesh nebulizer") == [(rule, "jet nebulizer, mesh nebulizer")]
    assert told("albuterol 2.5 mg by neb with mask with mouthpiece") == [(rule, "mask, mouthpiece")]


@pytest.mark.parametrize("words", ["", "inhaled", "by inhalation", "with mask"])
def test_inhaled_does_not_say_by_nebulizer(words: str) -> None:
    assert blocking(f"albuterol 2.5 mg {words}") == ["route"]


@pytest.mark.parametrize(
    "words", ["IV", "po", "by mouth", "intramuscularly", "subcut", "intranasal", "by inhaler", "2 puffs", "sq"]
)
def test_another_route_is_refused_with_the_accepted_one(words: str) -> None:
    found = faults(f"albuterol 2.5 mg {words}")
    assert ("route", "plans are made for nebulized inhalation only", "by nebulizer") in [
        (fault.field, fault.rule, fault.accepted) for fault in found
    ]


@pytest.mark.parametrize(
    ("words", "came", "accepted"),
    [
        ("QD", "QD", "daily"), ("q.d.", "q.d.", "daily"), ("QOD", "QOD", "every other day"), ("q.o.d", "q.o.d", "every other day"),
        ("qhs", "qhs", "at bedtime"), ("hs", "hs", "at bedtime"), ("TIW", "TIW", "three times weekly"), ("o.d.", "o.d.", "daily"),
        ("in 3cc", "3cc", "mL"), ("@", "@", "at"), ("<", "<", "less than, more than"), ("d/c", "d/c", "stop"),
        ("MgSO4", "MgSO4", "the full generic name"), ("5 U", "5 U", "units"), ("5u/kg", "5u", "units"), ("1 MU", "1 MU", "million units"),
    ],
)  # fmt: skip
def test_a_dangerous_spelling_is_refused_with_the_accepted_one(words: str, came: str, accepted: str) -> None:
    found = {(fault.came, fault.accepted) for fault in faults(f"{BASE} {words}")}
    assert (came, accepted) in found


def test_words_run_together_are_refused() -> None:
    for text in ("albuterol 2.5 mg bynebulizer", "albuterol 2.5 mg bya jet nebulizer", "albuterol 2.5 mgby nebulizer"):
        assert told(text)[0][0] == NOT_UNDERSTOOD


def test_how_long_and_how_fast_are_read() -> None:
    read = order("albuterol 10 mg/h by nebulizer for 4 h with an output of 25 mL per hour in a 240 mL nebulizer cup")
    assert (shown(read.duration), shown(read.output), shown(read.cup)) == ("4 h", "25 mL per h", "240 mL")
    assert (read.continuous, read.blocking) == (True, ())
    assert shown(order(f"{BASE} over 10 minutes").duration) == "10 min"


@pytest.mark.parametrize("words", ["made up to 3 mL", "every 4 hours", "for 10 min", "by jet nebulizer"])
@pytest.mark.parametrize("sign", ["\u0131", "\u017f", "\u212a", "\u200b", "\u202e", "\u0435"])
def test_a_look_alike_letter_in_a_phrase_is_refused(words: str, sign: str) -> None:
    assert refused_or_asked(f"{BASE} {words[:3]}{sign}{words[4:]}")


LONG = (
    *(
        "1",
        "1,",
        "1.",
        " ",
        "a",
        "1 in ",
        "1:1",
        "1 to ",
        "1-",
        "1 mg to ",
        "to a total of ",
        "prn for a ",
        "as needed for ",
    ),
    *(
        "max ",
        "maximum dose of ",
        "sterile ",
        "preservative-free ",
        "add a whole ",
        "by a ",
        "q",
        "every 4",
        "every 4 hours x 1 ",
    ),
    *(
        "1 million ",
        "1%",
        "1 % saline ",
        "hypertonic saline ",
        "albuterol ",
        "2.5 mg ",
        "albuterol 2.5 mg ",
        "age of 1 ",
        "(1",
    ),
    *(
        "1 year ",
        "weight of 1 ",
        "1 kg ",
        "in 1 mL ",
        "in a 1 mL nebulizer ",
        "at an output of 1 ml per ",
        "1 daily ",
        "divided in 1 ",
    ),
    *(
        "mg/day in 1 ",
        "\u00b5",
        "\u0661",
        "\x00",
        "\u200b",
        "@",
        "1u ",
        "qd ",
        "iv ",
        "made up ",
        "total final volume of ",
        "0.9 % ns ",
    ),
    *(
        "albuterol ipratropium 2.5 mg ",
        "2.5 mg albuterol 0.5 % ",
        "2.5 mg/albuterol",
        "mg / ",
        "wheeze, ",
        "prn wheeze, ",
        "2.5 mg per dose ",
    ),
)


@pytest.mark.parametrize("piece", LONG)
def test_ten_thousand_characters_of_anything_are_read_in_a_moment(piece: str) -> None:
    text = (piece * 10_000)[:10_000]
    start = time.process_time()
    assert refused_or_asked(text)
    assert time.process_time() - start < 1


def test_the_plain_order_is_read() -> None:
    assert doses(BASE) == [("albuterol", "2.5 mg")]
