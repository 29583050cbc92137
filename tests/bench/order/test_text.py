import re
import string
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drawndose import Order, Refused, read_order
from drawndose.bench.order import FillRule
from drawndose.bench.order.text import FILLERS, MOST_CHARACTERS
from drawndose.quantities import show_number
from tests.bench.benches import BOOK
from tests.bench.order.asked import doses, faults, order, refused_or_asked, shown, told

BASE = "albuterol 2.5 mg by nebulizer"
NOT_UNDERSTOOD = "this was not understood, and nothing in an order is skipped"
LOST_POINT = "a point before a number could be a decimal point"


def test_an_empty_order_is_refused() -> None:
    for text in ("", "   ", "\n\t\u00a0", "\x00"):
        assert [rule for rule, _ in told(text)] == ["the order is empty"]


def test_an_order_has_at_most_ten_thousand_characters() -> None:
    assert told("a" * (MOST_CHARACTERS + 1)) == [("an order has at most 10,000 characters", "10,001 characters")]
    assert doses(BASE + " " * (MOST_CHARACTERS - len(BASE))) == [("albuterol", "2.5 mg")]


def test_all_faults_of_a_text_come_together_each_once() -> None:
    text = "give albuterol 1.0 mg QD po in 3cc with .5 mL zest, weight 44 lb, weight 44 lb"
    found = [(fault.field, fault.came) for fault in faults(text)]
    wanted = {
        ("dose", "1.0"),
        ("dose", ".5"),
        ("order", "QD"),
        ("route", "po"),
        ("order", "3cc"),
        ("order", "zest"),
        ("weight", "weight 44 lb"),
    }
    assert wanted <= set(found)
    assert len(found) == len(set(found))


@pytest.mark.parametrize(
    "word",
    [
        "no", "not", "stop", "hold", "instead of", "double", "half", "twice", "triple", "skip", "omit", "without", "never", "don't", "discontinue", "dc",
        "change", "increase", "decrease", "reduce", "repeat", "then", "from", "to", "up to", "up", "per", "each", "one", "two", "total", "diluted",
        "made up", "only", "except", "unless", "until", "if", "or", "about", "less", "more", "extra", "additional", "minus", "times", "x", "half-strength",
        "usual", "same", "previous", "on", "at", "given", "unit", "doses", "volume", "vials", "whole", "quarter", "zero", "point", "hundred", "titrate",
        "maximum", "max", "min", "day", "hour", "mg", "mL", "kg", "%", "/", "-", "*", "=", "#", "!", "?", "~", "'", '"', "\u201c", "\u2019", "\u2014", "\u2013", "\u2212",
        "adult", "inject", "swallow", "crushed", "tablet", "concentrate", "w/w", "as sulfate", "cancelled", "allergic", "trial",
    ],
)  # fmt: skip
@pytest.mark.parametrize("place", ["before", "inside", "after"])
def test_a_word_that_could_change_the_order_never_vanishes(word: str, place: str) -> None:
    text = {"before": f"{word} {BASE}", "inside": f"albuterol {word} 2.5 mg by nebulizer", "after": f"{BASE} {word}"}[
        place
    ]
    assert refused_or_asked(text)


@pytest.mark.parametrize("word", sorted(FILLERS))
@pytest.mark.parametrize(
    "pattern",
    ["{} albuterol 2.5 mg by nebulizer", "albuterol {} 2.5 mg by nebulizer", "albuterol 2.5 mg by nebulizer {}"],
)
def test_a_word_that_is_passed_over_changes_nothing(word: str, pattern: str) -> None:
    assert doses(pattern.format(word)) == [("albuterol", "2.5 mg")]


def test_what_is_left_is_quoted_as_one_run_of_words() -> None:
    assert told(f"{BASE} with pixie dust, once in a blue moon") == [
        (NOT_UNDERSTOOD, "pixie dust"),
        (NOT_UNDERSTOOD, "blue moon"),
    ]
    assert told(f"{BASE} {'z' * 100}") == [(NOT_UNDERSTOOD, "z" * 100)]


@pytest.mark.parametrize(
    "text", ["albuterol . 5 mg by nebulizer", "albuterol. 5 mg by nebulizer", "albuterol 2.5 mg by nebulizer. 8 kg"]
)
def test_a_point_before_a_number_is_not_an_end_of_sentence(text: str) -> None:
    assert LOST_POINT in [rule for rule, _ in told(text)]


def test_sentences_and_lists_are_read() -> None:
    text = "Albuterol: 2.5 mg; by nebulizer.\nEvery 4 hours (as needed for wheeze).\nMade up to 3 mL with normal saline. Weight: 20 kg."
    read = order(text)
    assert read.blocking == ()
    assert (shown(read.lines[0].dose.amount), read.frequency.says, read.as_needed) == (
        "2.5 mg",
        "Every 4 hours",
        "wheeze",
    )
    assert (shown(read.fill.volume), read.diluent, shown(read.patient.weight)) == (
        "3 mL",
        "sodium chloride 0.9 %",
        "20 kg",
    )


def test_a_unit_dose_is_a_container_and_one_unit_dose_is_no_unit() -> None:
    assert doses("albuterol 2.5 mg unit dose by nebulizer") == [("albuterol", "2.5 mg")]
    assert doses("albuterol 2.5 mg unit-dose by nebulizer") == [("albuterol", "2.5 mg")]
    assert refused_or_asked("albuterol 1 unit dose by nebulizer")
    assert refused_or_asked("colistimethate 1 unit dose by nebulizer")


@pytest.mark.parametrize(
    ("text", "strength", "amount"),
    [
        ("sodium chloride 3 % 4 mL by nebulizer", "0.03 g per mL", "4 mL"), ("3% hypertonic saline 4 mL by nebulizer", "0.03 g per mL", "4 mL"),
        ("hypertonic saline 7 % 4 mL by nebulizer", "0.07 g per mL", "4 mL"), ("4 mL of 3 % NaCl by nebulizer", "0.03 g per mL", "4 mL"),
        ("normal saline 3 mL by nebulizer", "0.009 g per mL", "3 mL"), ("3 mL 0.9 % sodium chloride by nebulizer", "0.009 g per mL", "3 mL"),
        ("give 3 mL normal saline by nebulizer", "0.009 g per mL", "3 mL"), ("half-normal saline 3 mL by nebulizer", "0.0045 g per mL", "3 mL"),
    ],
)  # fmt: skip
def test_sodium_chloride_as_the_treatment_is_a_drug(text: str, strength: str, amount: str) -> None:
    read = order(text)
    (line,) = read.lines
    assert (line.drug.id, shown(line.dose.strength.ratio), shown(line.dose.amount)) == (
        "sodium-chloride",
        strength,
        amount,
    )
    assert (read.blocking, read.fill, read.diluent) == ((), None, "")


@pytest.mark.parametrize("words", [".9 % saline", "0.90 % sodium chloride", "saline .9%", "00.9 % saline"])
def test_a_percent_of_saline_is_written_like_any_number(words: str) -> None:
    assert refused_or_asked(f"{BASE}, add 3 mL {words}")
    assert faults(f"{BASE}, made up to 3 mL with {words}")


def test_two_percents_around_saline_are_not_shared_out_by_guessing() -> None:
    assert refused_or_asked("albuterol 0.5 % sodium chloride 0.9 % 3 mL by nebulizer")


@pytest.mark.parametrize(
    "text",
    [
        "3 mL saline by nebulizer",
        "normal saline, sterile water by nebulizer",
        "normal saline made up to 3 mL by nebulizer",
        "normal saline by nebulizer, 0.45 % saline",
    ],
)
def test_a_diluent_that_is_not_one_treatment_is_asked_for_its_drug(text: str) -> None:
    assert refused_or_asked(text)


def test_a_stroke_or_hyphen_stands_between_drugs_only() -> None:
    assert doses("ipratropium 0.5 mg/albuterol 2.5 mg by nebulizer") == [
        ("ipratropium", "0.5 mg"),
        ("albuterol", "2.5 mg"),
    ]
    for text in (
        "albuterol/2.5 mg by nebulizer",
        "albuterol-2.5 mg by nebulizer",
        "albuterol 2.5 mg/by nebulizer",
        "-albuterol 2.5 mg by nebulizer",
        "albuterol 2.5 mg/minutes by nebulizer",
    ):
        assert told(text)[0][0] == NOT_UNDERSTOOD


def test_every_piece_of_the_text_says_what_it_was_read_as() -> None:
    read = order("Albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours")
    told_as = [(read.text[span.start : span.end], span.field) for span in read.spans]
    assert told_as == [
        ("Albuterol", "drug"),
        ("2.5 mg", "dose"),
        ("by nebulizer", "route"),
        ("made up to 3 mL", "fill"),
        ("every 4 hours", "frequency"),
    ]


def test_blanks_of_every_kind_are_blanks_and_both_micro_signs_are_one() -> None:
    assert doses("albuterol\u00a02.5\u202fmg\u2009by\n\tnebulizer") == [("albuterol", "2.5 mg")]
    assert (
        doses("ipratropium 500 \u03bcg by nebulizer")
        == doses("ipratropium 500 \u00b5g by nebulizer")
        == [("ipratropium", "500 mcg")]
    )


# ------------------------------------------------------------------------------------------------ properties

PIECES = (
    *(
        "albuterol",
        "levalbuterol",
        "ipratropium",
        "saline",
        "2.5 mg",
        "0.5 %",
        "1:1000",
        "3 mL",
        "mg/kg",
        "20 kg",
        "44 lb",
        "by nebulizer",
        "every 4 hours",
    ),
    *(
        "to",
        "in",
        "max",
        "min",
        "divided in 2 doses",
        "1 mg/day",
        "10 mg/h",
        "for 4 h",
        "output 25 mL/h",
        "prn wheeze",
        "QD",
        "not",
        "half",
        "1 million units",
    ),
    *(
        ".5",
        "1.0",
        "2,5",
        ",",
        ".",
        "/",
        "-",
        "(",
        ")",
        "+",
        "0",
        "undiluted",
        "4 years old",
        "colistimethate",
        "2.5 to 5 mg",
        "in a 6 mL cup",
        "once",
        "per dose",
    ),
)
anything = st.one_of(
    st.text(max_size=400),
    st.text(alphabet=string.printable + "\u00b5\u03bc\u200b\u0131\u017f\u212a\u00bd\uff15\u2013\x00", max_size=400),
    st.lists(st.sampled_from(PIECES), max_size=14).map(" ".join),
    st.lists(st.sampled_from(PIECES), max_size=14).map("".join),
    st.builds(lambda piece, count: (piece * count)[:MOST_CHARACTERS], st.sampled_from(PIECES), st.integers(1, 5000)),
)


def read(text: str) -> Order | None:
    """The order, or None when it is refused with at least one fault; anything else gets through to the test."""
    try:
        return read_order(text, catalogue=BOOK)
    except Refused as refused:
        found = refused.faults
    assert found
    assert all(fault.rule and fault.field for fault in found)
    return None


@settings(max_examples=400, deadline=None)
@given(anything)
def test_any_text_is_an_order_or_is_refused_with_its_faults(text: str) -> None:
    assert read(text) is None or isinstance(read(text), Order)


NUMBERS = st.builds(lambda digits, places: Fraction(digits, 10**places), st.integers(1, 9999), st.integers(0, 3))
FILLS = (
    *(
        ("made up to {} mL", FillRule.TO_TOTAL),
        ("to a total of {} mL", FillRule.TO_TOTAL),
        ("add {} mL normal saline", FillRule.ADD),
    ),
    *(("undiluted", FillRule.UNDILUTED), ("{} mL total volume", FillRule.TO_TOTAL), ("in {} mL", FillRule.UNCLEAR)),
)
OFTEN = (
    ("every 4 hours", "4 h", None),
    ("q6h", "6 h", None),
    ("three times daily", "", 3),
    ("bid", "", 2),
    ("every 20 minutes x 3 doses", "20 min", None),
)
UNITS = (
    ("mg", "mg"),
    ("mcg", "mcg"),
    ("milligrams", "mg"),
    ("mL of 0.5 %", "mL"),
    ("mg/kg", "mg/kg"),
    ("mL / kg of 2.25 %", "mL/kg"),
    ("million units", "unit"),
    ("mg per kg per dose", "mg/kg"),
)


@st.composite
def canonical(draw: st.DrawFn) -> tuple[str, dict[str, object]]:
    """A valid order out of its parts, in some order, case and spacing; and what it must be read as."""
    unit, symbol = draw(st.sampled_from(UNITS))
    name = (
        "colistimethate"
        if symbol == "unit"
        else draw(st.sampled_from(("albuterol", "levalbuterol", "ipratropium bromide", "racepinephrine")))
    )
    value, fill, weight = draw(NUMBERS), draw(NUMBERS), draw(st.integers(5, 90))
    words, rule = draw(st.sampled_from(FILLS))
    often, interval, in_a_day = draw(st.sampled_from(OFTEN))
    dose = f"{show_number(value)}{draw(st.sampled_from((' ', '')))}{unit}"
    drug = draw(st.sampled_from((f"{name} {dose}", f"{dose} {name}", f"{name}: {dose}", f"give {dose} of {name}")))
    rest = draw(st.permutations((words.format(show_number(fill)), often, "by nebulizer", f"weight {weight} kg")))
    joint = draw(st.sampled_from((", ", "; ", " , ", ",\n")))
    text = joint.join(draw(st.permutations((drug, joint.join(rest)))))
    text = draw(st.sampled_from((str, str.upper, str.title)))(text) if "\n" not in text else text
    factor = 10**6 if symbol == "unit" else 1
    volume = None if rule is FillRule.UNDILUTED else fill
    return text, {
        "amount": (value * factor, symbol), "rule": rule, "fill": volume, "interval": interval, "in a day": in_a_day, "weight": weight,
    }  # fmt: skip


@settings(max_examples=500, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(canonical())
def test_an_order_out_of_its_parts_reads_back_to_exactly_those_parts(made: tuple[str, dict[str, object]]) -> None:
    text, parts = made
    read_back = order(text)
    (line,) = read_back.lines
    assert (line.dose.amount.value, str(line.dose.amount.unit)) == parts["amount"]
    assert line.dose.upper is line.dose.also is line.dose.minimum is line.dose.maximum is line.dose.divided_by is None
    assert read_back.fill.rule is parts["rule"]
    assert (read_back.fill.volume.to("mL").value if read_back.fill.volume else None) == parts["fill"]
    assert (shown(read_back.frequency.interval), read_back.frequency.in_a_day) == (parts["interval"], parts["in a day"])
    assert (read_back.patient.weight.value, read_back.route) == (parts["weight"], "nebulized")
    assert {question.field for question in read_back.blocking} == (
        {"fill"} if parts["rule"] is FillRule.UNCLEAR else set()
    )


@settings(max_examples=400, deadline=None)
@given(
    made=canonical(), piece=st.sampled_from(PIECES), place=st.integers(0, 200), joint=st.sampled_from((" ", "", ", "))
)
def test_no_number_of_an_order_is_read_in_two_pieces(
    made: tuple[str, dict[str, object]], piece: str, place: int, joint: str
) -> None:
    text = made[0][:place] + joint + piece + joint + made[0][place:]
    read_back = read(text)
    if read_back is None:
        return
    for number in re.finditer(r"[0-9](?:[0-9.,]*[0-9])?", read_back.text):
        inside = [span for span in read_back.spans if span.start <= number.start() and number.end() <= span.end]
        assert len(inside) == 1, (read_back.text, number[0])


@settings(max_examples=600, deadline=None)
@given(made=canonical(), drawn=st.data())
def test_one_character_of_a_number_changes_the_dose_only_to_a_number_that_is_written(
    made: tuple[str, dict[str, object]], drawn: st.DataObject
) -> None:
    text, _ = made
    places = [place for number in re.finditer(r"[0-9][0-9.,]*", text) for place in range(number.start(), number.end())]
    place = drawn.draw(st.sampled_from(places))
    put = drawn.draw(st.sampled_from((*"0123456789., /-:xOl", "", "\u00b7", "\u200b", "\n")))
    changed = text[:place] + put + text[place + 1 :]
    read_back = read(changed)
    if read_back is None or read_back.blocking:
        return
    written = {
        Fraction(number.replace(",", ""))
        for number in re.findall(r"(?<![0-9.,])[0-9]+(?:,[0-9]{3})*(?:\.[0-9]+)?(?![0-9]|[.,][0-9])", read_back.text)
    }
    for line in read_back.lines:
        assert line.dose.amount.value / (10**6 if "unit" in str(line.dose.amount.unit) else 1) in written


@settings(max_examples=400, deadline=None)
@given(
    made=canonical(),
    word=st.text(alphabet="bcfjpqvwxz\u0430\u00e9\u4e2d#*~!?\u200b\u202e", min_size=1, max_size=9),
    drawn=st.data(),
)
def test_an_order_with_an_unknown_word_is_never_accepted(
    made: tuple[str, dict[str, object]], word: str, drawn: st.DataObject
) -> None:
    words = made[0].split(" ")
    place = drawn.draw(st.integers(0, len(words)))
    text = " ".join([*words[:place], word, *words[place:]])
    assert read(text) is None, text


@pytest.mark.parametrize("years", ["2 years", "18 months", "2yr", "1.5 years"])
def test_years_alone_may_be_an_age_or_a_length_and_are_asked_for(years: str) -> None:
    (fault,) = faults(f"{BASE}, {years}")
    assert (fault.rule, fault.came) == (f"{years} may be an age or how long it goes on: say which", years)
    assert fault.accepted == f"age {years}, {years} old, or without it"
    assert order(f"{BASE}, age {years}").patient.age == order(f"{BASE}, {years} old").patient.age
