import time
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Fault, Manner, Quantity, Refused, read_quantity, unit
from drawndose.quantities.reading import ACCEPTED, tidy
from drawndose.quantities.units import BASES, DANGEROUS, SPELLINGS
from tests.strategies import numbers

SHAPE = "an amount is a number and then a unit"
SIGN = "an amount has no sign"
NO_UNIT = "a number needs a unit"
MISSING = 'a unit is missing beside "/" or "per"'
POINT = "a point without a digit before it is read as ten times more"
ZERO = "a zero at the end of a decimal is read as ten times more"
NUMBER = "a number is digits with at most one point"
NO_SUBSTANCE = "units belong to a substance, and none was named"


def faults_of(text: str, manner: Manner = Manner.DATA, of: str | None = None) -> list[Fault]:
    with pytest.raises(Refused) as refusal:
        read_quantity(text, manner=manner, of=of)
    return list(refusal.value.faults)


def rules_of(text: str, manner: Manner = Manner.DATA, of: str | None = None) -> list[str]:
    return [fault.rule for fault in faults_of(text, manner, of)]


def unknown(word: str) -> str:
    return f'"{word}" is not a unit that is known here'


@pytest.mark.parametrize("manner", Manner)
@pytest.mark.parametrize(
    ("text", "value", "spelling"),
    [
        ("0.5 mL", Fraction(1, 2), "mL"),
        ("0.5mL", Fraction(1, 2), "mL"),
        ("0.5 ML", Fraction(1, 2), "mL"),
        ("  2.5\u00a0mg\n", Fraction(5, 2), "mg"),
        ("2.5\u202fmg", Fraction(5, 2), "mg"),
        ("2.5\u2009\t mg", Fraction(5, 2), "mg"),
        ("500 mcg", 500, "mcg"),
        ("500 ug", 500, "mcg"),
        ("500 \u00b5g", 500, "mcg"),
        ("500 \u03bcg", 500, "mcg"),
        ("10 \u00b5L", 10, "microlitre"),
        ("10 \u03bcl", 10, "microlitre"),
        ("10 microliters", 10, "microlitre"),
        ("1,000 mg", 1000, "mg"),
        ("3 g", 3, "g"),
        ("20 ng", 20, "ng"),
        ("2 mEq", 2, "mEq"),
        ("2 mmol", 2, "mmol"),
        ("20 kg", 20, "kg"),
        ("20 kilograms", 20, "kg"),
        ("30 min", 30, "min"),
        ("4 hours", 4, "h"),
        ("7 days", 7, "day"),
        ("10 mg/h", 10, "mg/h"),
        ("3 ml / hr", 3, "mL/h"),
        ("8 L/min", 8, "L/min"),
        ("0.15 mg/kg", Fraction(3, 20), "mg/kg"),
        ("10 mcg per kg per min", 10, "mcg/kg/min"),
        ("10 MCG PER KG/MIN", 10, "mcg/kg/min"),
        ("0.03 mL/kg", Fraction(3, 100), "mL/kg"),
        ("1 mg/kg/h", 1, "mg/kg/h"),
        ("5 %", 5, "%"),
        ("5%", 5, "%"),
        ("100 ppm", 100, "ppm"),
        ("0 mg", 0, "mg"),
        ("2 thousand mg", 2000, "mg"),
    ],
)
def test_a_plainly_written_quantity_is_read(text: str, value: Fraction, spelling: str, manner: Manner) -> None:
    read = read_quantity(text, manner=manner)
    assert (read.value, read.unit, read.of) == (value, unit(spelling), ())


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_every_spelling_of_the_closed_set_is_read_in_any_case(spelling: str) -> None:
    wanted = Quantity(Fraction(5), unit(SPELLINGS[spelling]), (("it", 1),))
    for text in (f"5 {spelling}", f"5{spelling}", f"5 {spelling.upper()}".replace("\u039c", "\u00b5")):
        read = read_quantity(text, of="it")
        assert (read.value, read.unit) == (wanted.value, wanted.unit)


@pytest.mark.parametrize(
    ("text", "value", "spelling", "power"),
    [
        ("5 mg", 5, "mg", 1),
        ("0.15 mg/kg", Fraction(3, 20), "mg/kg", 1),
        ("5 units", 5, "unit", 1),
        ("5 IU", 5, "unit", 1),
        ("5 international units", 5, "unit", 1),
        ("5 USP units/mL", 5, "USP unit/mL", 1),
        ("1 million units", 10**6, "unit", 1),
        ("1.5Million IU", 1_500_000, "unit", 1),
        ("30,000 units/mg", 30_000, "unit/mg", 1),
        ("5 mg/g", 5, "mg/g", 1),
        ("2 mEq/mmol", 2, "mEq/mmol", 1),
        ("0.2 mL/mg", Fraction(1, 5), "mL/mg", -1),
    ],
)
def test_the_first_amount_is_an_amount_of_the_named_substance(
    text: str, value: Fraction, spelling: str, power: int
) -> None:
    read = read_quantity(text, of="heparin")
    assert (read.value, read.unit, read.of) == (value, unit(spelling), (("heparin", power),))


@pytest.mark.parametrize("text", ["5 mL", "5 min", "5 %", "20 kg", "3 mL/h", "5 drops", "300 mOsm"])
def test_a_volume_a_time_or_a_share_is_of_nothing(text: str) -> None:
    assert read_quantity(text, of="heparin").of == ()


def test_kg_is_a_patient_unless_the_reader_is_told_otherwise() -> None:
    assert read_quantity("2 kg").dimension == (("body mass", 1),)
    assert read_quantity("2 kg", kg="kilogram", of="powder") == Quantity.of_text(2000, "g", "powder")


@pytest.mark.parametrize(
    ("text", "value"), [(".5 mL", Fraction(1, 2)), ("1.0 mL", Fraction(1)), (".50 mL", Fraction(1, 2))]
)
def test_a_naked_point_and_a_trailing_zero_are_accepted_only_outside_orders(text: str, value: Fraction) -> None:
    for manner in (Manner.READING, Manner.DATA):
        assert read_quantity(text, manner=manner) == Quantity.of_text(value, "mL")
    accepted = {fault.accepted for fault in faults_of(text, Manner.ORDER)}
    assert [read_quantity(f"{number} mL", manner=Manner.ORDER).value for number in accepted] == [value]


@pytest.mark.parametrize("text", ["25/12 mL", "25/12 L", "25/12L", "1/3 %", "1/3 \u00b5g", "1/3 \u03bcg", "1/3 mg/kg"])
def test_a_fraction_is_read_from_data_only(text: str) -> None:
    assert read_quantity(text).value.denominator in {3, 12}
    for manner in (Manner.ORDER, Manner.READING):
        assert rules_of(text, manner) == [NUMBER]


@pytest.mark.parametrize("spelling", DANGEROUS)
def test_a_dangerous_spelling_is_refused_with_the_safe_one(spelling: str) -> None:
    why, instead = DANGEROUS[spelling]
    for text in (f"5 {spelling}", f"5{spelling.upper()}", f"5 {spelling} per kg", f"5 mL/{spelling}"):
        assert faults_of(text, of="it") == [Fault(field="quantity", rule=why, came=text, accepted=instead)]


@pytest.mark.parametrize("spelling", DANGEROUS)
def test_the_safe_spelling_is_itself_accepted(spelling: str) -> None:
    for instead in DANGEROUS[spelling][1].split(", or "):
        assert read_quantity(f"5 {instead}", of="it").value >= 5


@pytest.mark.parametrize("text", ["5 units", "5 IU", "5 units/mL", "5 USP units", "1 million units/kg", "5 mL/unit"])
def test_units_without_a_substance_are_refused(text: str) -> None:
    accepted = "an amount in units together with its drug"
    assert faults_of(text) == [Fault(field="quantity", rule=NO_SUBSTANCE, came=text, accepted=accepted)]


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        *(
            (text, SHAPE)
            for text in ("", " ", "/", "mg", "mg 5", "five mg", "%", ",5 mg", "inf mg", "NaN mg", "\u221e mg")
        ),
        *(
            (text, SHAPE)
            for text in ("\u00bd mL", "\u0665 mg", "\uff15 mg", "\u0967 mg", "\U0001f4a7", "--5 mg", "~5 mg")
        ),
        *((text, SIGN) for text in ("-5 mg", "+5 mg", "- 5 mg", "\u22125 mg", "\u20135 mg", "\u20145 mg", "-0.5mg")),
        *((text, NO_UNIT) for text in ("5", "5 ", "0.5", "1/2", "5 million", "5 thousand")),
        *((text, MISSING) for text in ("5 mg per", "5 / mL", "5/mL", "5 per mL", "5 mg/", "5 /", "5 mg//kg", "5 per")),
        *((text, "two units stand side by side") for text in ("5 mg mL", "5 mg mg", "5 mg kg min")),
        *((text, "the same unit stands twice") for text in ("5 mg/mg", "5 mg/kg/kg", "5 kg per kilogram")),
        *((f"5 {word}", unknown(word)) for word in ("furlong", "mg.", "mg,", "5 mg", "mg 10 mg", "u g", "m g", "mg%")),
        *((f"5 {word}", unknown(word)) for word in ("percent", "perkg", "mgper", "mg\\mL", "mg*mL", "mg-mL")),
        ("5 mg perkg", unknown("mg perkg")),
        ("5million thousand mg", unknown("thousand mg")),
        ("5 milliong", unknown("milliong")),
        ("5. mg", unknown(". mg")),
        ("5-10 mg", unknown("-10 mg")),
        ("1e3 mg", unknown("e3 mg")),
        ("1E3 mg", unknown("E3 mg")),
        ("1_000 mg", unknown("_000 mg")),
        ("0x10 mg", unknown("x10 mg")),
        ("1 000 mg", unknown("000 mg")),
        ("1.5.2 mg", unknown(".2 mg")),
        ("1'000 mg", unknown("'000 mg")),
        ("5 mg\x00", unknown("mg\x00") + " (it has the character U+0000)"),
        ("5 mg\u200b", unknown("mg\u200b") + " (it has the character U+200B)"),
        ("5 m\u0301g", unknown("m\u0301g") + " (it has the character U+0301)"),
        ("5\u0301 mg", unknown("\u0301 mg") + " (it has the character U+0301)"),
        ("5 \U0001f4a7", unknown("\U0001f4a7") + " (it has the character U+1F4A7)"),
        ("5\u00bd mL", unknown("\u00bd mL") + " (it has the character U+00BD)"),
        ("5 mL\u00b2", unknown("mL\u00b2") + " (it has the character U+00B2)"),
        ("5 \u0440\u0435r kg", unknown("\u0440\u0435r kg") + " (it has the character U+0440)"),
        ("1,5 mg", "a comma must part thousands, and 1,5 could be 1.5 or 15"),
        ("5, mg", "commas must part thousands in groups of three"),
        ("05 mg", "a number does not start with 0 and another digit"),
        ("1234567890123456 mg", "a number has at most 15 digits"),
        ("5/0 mg", "a fraction cannot be over 0"),
    ],
)
def test_what_would_have_to_be_guessed_is_refused(text: str, rule: str) -> None:
    assert rules_of(text) == [rule]


def test_the_capital_of_the_micro_sign_looks_like_m_and_is_not_read_at_all() -> None:
    assert "\u00b5g".upper() == "\u039cG"
    assert rules_of("500 \u039cG") == [unknown("\u039cG") + " (it has the character U+039C)"]


@pytest.mark.parametrize("text", ["20 \u212ag", "5 m\u0131n", "1 m\u0131llion mg", "1 m\u0130llion mg", "5 \u017f"])
def test_letters_that_only_look_like_a_unit_are_refused(text: str) -> None:
    assert "is not a unit that is known here (it has the character U+" in rules_of(text)[0]


def test_a_unit_that_is_not_known_is_answered_with_those_that_are() -> None:
    assert faults_of("5 furlong") == [
        Fault(field="quantity", rule=unknown("furlong"), came="5 furlong", accepted=ACCEPTED)
    ]
    examples = ACCEPTED.removeprefix("a number with its unit: ").split(", ")
    assert [str(read_quantity(one, of="it").unit) for one in examples] == ["mg", "mL", "unit", "kg", "h", "mg/mL"]


@pytest.mark.parametrize(("word", "near"), [("mgg", "mg, mcg"), ("mll", "mL"), ("hourz", "hours"), ("mEqq", "mEq")])
def test_a_slip_of_the_pen_is_answered_with_the_unit_that_it_may_be(word: str, near: str) -> None:
    assert [one.accepted for one in faults_of(f"5 {word}")] == [near]
    assert all(read_quantity(f"5 {one}").value == 5 for one in near.split(", "))


def test_a_very_long_unknown_word_is_cut_in_the_rule() -> None:
    assert rules_of("5 " + "x" * 100) == [unknown("x" * 40)]


@pytest.mark.parametrize(
    ("text", "manner", "of", "rules"),
    [
        (".5 units", Manner.ORDER, None, [POINT, NO_SUBSTANCE]),
        (".50 cc", Manner.ORDER, None, [POINT, ZERO, DANGEROUS["cc"][0]]),
        ("1,5 U", Manner.DATA, None, ["a comma must part thousands, and 1,5 could be 1.5 or 15", DANGEROUS["u"][0]]),
        ("-5 cc/furlong", Manner.DATA, None, [SIGN, DANGEROUS["cc"][0], unknown("furlong")]),
        ("1/2 cc", Manner.READING, None, [NUMBER, DANGEROUS["cc"][0]]),
        ("05 mg/", Manner.DATA, None, ["a number does not start with 0 and another digit", MISSING]),
        ("5 U/kg/kg", Manner.DATA, "it", [DANGEROUS["u"][0], "the same unit stands twice"]),
    ],
)
def test_all_faults_of_one_text_come_together(text: str, manner: Manner, of: str | None, rules: list[str]) -> None:
    assert rules_of(text, manner, of) == rules


@pytest.mark.parametrize(
    "text",
    [
        *(
            "1" * 10_000,
            "1," * 5_000,
            "1." * 5_000,
            "1 " * 5_000,
            " " * 9_999 + "1",
            "1" + " " * 9_998 + "x",
            "1/" * 5_000,
        ),
        *(
            "5 " + "/" * 9_998,
            "5 " + "per " * 2_499,
            "1" * 5_000 + "/" + "1" * 4_999,
            "5 mg" + "\u0301" * 9_996,
            "(" * 10_000,
        ),
        *("\U0001f4a7" * 10_000, "5 " + "million " * 1_000, "5 mg" + "\n" * 9_995 + "x"),
    ],
)
@pytest.mark.parametrize("manner", Manner)
def test_a_text_of_ten_thousand_characters_is_refused_at_once(text: str, manner: Manner) -> None:
    start = time.perf_counter()
    assert rules_of(text, manner) == ["at most 200 characters"]
    assert time.perf_counter() - start < 1


def test_the_longest_text_that_is_looked_at_has_two_hundred_characters() -> None:
    assert read_quantity("5" + " " * 197 + "mg") == Quantity.of_text(5, "mg")
    assert rules_of("5" + " " * 198 + "mg") == ["at most 200 characters"]


def test_blanks_and_micro_signs_are_made_one_and_nothing_else_is_touched() -> None:
    assert tidy("\u00a0 5\u202f\u2003\u03bcg \r\n") == "5 \u00b5g"
    assert tidy("\u0665 \u212a\u0301\u200b") == "\u0665 \u212a\u0301\u200b"


WORDS = [*SPELLINGS, *DANGEROUS, "per", "/", " ", "million", "5", "1/2", ".5", "1.0", "1,5", "-", "(", "\u00b5", "%"]


@given(st.lists(st.sampled_from(WORDS), max_size=8), st.sampled_from(["", " "]), st.sampled_from(Manner))
def test_any_heap_of_known_words_is_read_or_refused(words: list[str], joint: str, manner: Manner) -> None:
    try:
        read = read_quantity(joint.join(words), manner=manner, of="it")
    except Refused:
        return
    assert type(read.value) is Fraction
    assert all(symbol in BASES for symbol, _ in read.unit.parts)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        read = read_quantity(f"5{text}", of="it")
    except Refused:
        return
    assert set(tidy(text)) <= {chr(code) for code in range(32, 127)} | {"\u00b5"}
    assert type(read.value) is Fraction


@given(numbers, st.sampled_from(["", " ", "\u00a0", "\u202f", "  ", "\t"]))
def test_the_blank_between_number_and_unit_does_not_matter(value: Fraction, blank: str) -> None:
    number = f"{value.numerator}/{value.denominator}" if value.denominator > 1 else str(value)
    assert read_quantity(f"{number}{blank}mg") == Quantity.of_text(value, "mg")
