from fractions import Fraction

import pytest
from hypothesis import given

from drawndose.quantities import Fault, Form, Manner, Quantity, Refused, Strength, Unlike, read_strength, unit
from drawndose.quantities.strength import ACCEPTED, IN_NOTHING, NO_STRENGTH, OF_NOTHING
from tests.strategies import positive, strengths

BASE, SALT = "albuterol base", "albuterol sulfate"


def of(value: int | Fraction, spelling: str, moiety: str | None = None) -> Quantity:
    return Quantity.of_text(value, spelling, moiety)


def faults_of(text: str, manner: Manner = Manner.DATA, moiety: str | None = None) -> list[Fault]:
    with pytest.raises(Refused) as refusal:
        read_strength(text, manner=manner, of=moiety)
    return list(refusal.value.faults)


def rules_of(text: str, manner: Manner = Manner.DATA, moiety: str | None = None) -> list[str]:
    return [fault.rule for fault in faults_of(text, manner, moiety)]


@pytest.mark.parametrize("manner", Manner)
@pytest.mark.parametrize(
    ("text", "amount", "per", "form"),
    [
        ("5 mg/mL", of(5, "mg"), of(1, "mL"), Form.PER_VOLUME),
        ("5mg/ml", of(5, "mg"), of(1, "mL"), Form.PER_VOLUME),
        ("5 mg per mL", of(5, "mg"), of(1, "mL"), Form.PER_VOLUME),
        ("5 MG PER ML", of(5, "mg"), of(1, "mL"), Form.PER_VOLUME),
        ("5 mg in 1 mL", of(5, "mg"), of(1, "mL"), Form.PER_VOLUME),
        ("2.5mg/3ml", of(Fraction(5, 2), "mg"), of(3, "mL"), Form.PER_VOLUME),
        ("2.5\u00a0mg / 3\u202fmL", of(Fraction(5, 2), "mg"), of(3, "mL"), Form.PER_VOLUME),
        ("2.5 mg in 3 mL", of(Fraction(5, 2), "mg"), of(3, "mL"), Form.PER_VOLUME),
        ("500 \u03bcg/\u00b5L", of(500, "mcg"), of(1, "microlitre"), Form.PER_VOLUME),
        ("2 mEq/mL", of(2, "mEq"), of(1, "mL"), Form.PER_VOLUME),
        ("154 mmol/L", of(154, "mmol"), of(1, "L"), Form.PER_VOLUME),
        ("300 mOsm/L", of(300, "mOsm"), of(1, "L"), Form.PER_VOLUME),
        ("300 mg/vial", of(300, "mg"), of(1, "container"), Form.PER_CONTAINER),
        ("600 mg in 2 vials", of(600, "mg"), of(2, "container"), Form.PER_CONTAINER),
        ("300 mg per ampoule", of(300, "mg"), of(1, "container"), Form.PER_CONTAINER),
        ("0.5%", of(Fraction(1, 2), "g"), of(100, "mL"), Form.PERCENT_WV),
        ("0.5 %", of(Fraction(1, 2), "g"), of(100, "mL"), Form.PERCENT_WV),
        ("0.5 percent", of(Fraction(1, 2), "g"), of(100, "mL"), Form.PERCENT_WV),
        ("0.5 PERCENT w/v", of(Fraction(1, 2), "g"), of(100, "mL"), Form.PERCENT_WV),
        ("0.5%w/v", of(Fraction(1, 2), "g"), of(100, "mL"), Form.PERCENT_WV),
        ("0.5 % (W / V)", of(Fraction(1, 2), "g"), of(100, "mL"), Form.PERCENT_WV),
        ("20 % ( w/v )", of(20, "g"), of(100, "mL"), Form.PERCENT_WV),
        ("20 % w/w", of(20, "g"), of(100, "g"), Form.PERCENT_WW),
        ("20% (w/W)", of(20, "g"), of(100, "g"), Form.PERCENT_WW),
        ("1:1000", of(1, "g"), of(1000, "mL"), Form.RATIO),
        ("1 : 1,000", of(1, "g"), of(1000, "mL"), Form.RATIO),
        ("1 in 1000", of(1, "g"), of(1000, "mL"), Form.RATIO),
        ("1 IN 1,000 w/v", of(1, "g"), of(1000, "mL"), Form.RATIO),
        ("1:200 ratio (w/v)", of(1, "g"), of(200, "mL"), Form.RATIO),
        ("1:1", of(1, "g"), of(1, "mL"), Form.RATIO),
    ],
)
def test_a_strength_is_read_as_printed(text: str, amount: Quantity, per: Quantity, form: Form, manner: Manner) -> None:
    read = read_strength(text, manner=manner)
    assert (read.amount, read.per, read.form) == (amount, per, form)
    assert (read.amount.unit, read.per.unit) == (amount.unit, per.unit)
    assert read.moiety is None


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("0.5 %", "5 mg/mL"),
        ("1:1,000", "1 mg/mL"),
        ("1 in 1,000", "0.1 %"),
        ("1:200", "0.5 %"),
        ("2.5 mg/3 mL", "5 mg/6 mL"),
        ("5 mg/mL", "5 g/L"),
        ("5 mcg/microlitre", "5 mg/mL"),
        ("1/12 %", "2.5 mg/3 mL"),
    ],
)
def test_a_strength_has_one_exact_ratio_in_whatever_form(one: str, other: str) -> None:
    assert read_strength(one).ratio == read_strength(other).ratio


def test_a_rounded_percent_is_not_the_amount_in_the_container() -> None:
    assert read_strength("0.083 %").ratio != read_strength("2.5 mg/3 mL").ratio
    assert rules_of("0.09 % (2.5 mg/3 mL)") == ["the two strengths disagree, 0.9 mg/mL against 5/6 mg/mL"]


@pytest.mark.parametrize(
    "text",
    [
        "100 units/mL",
        "100 IU/mL",
        "1 million units/vial",
        "100 USP units in 2 mL",
        "100 units per mL (50 units/0.5 mL)",
    ],
)
def test_a_strength_in_units_says_of_what(text: str) -> None:
    assert read_strength(text, of="heparin").moiety == "heparin"
    assert set(rules_of(text)) == {"units belong to a substance, and none was named"}


@pytest.mark.parametrize("text", ["5 mg/mL", "0.5 %", "5 % w/w", "1:1,000", "300 mg/vial"])
def test_a_strength_counts_the_moiety_it_was_read_for(text: str) -> None:
    strength = read_strength(text, of=BASE)
    assert (strength.moiety, strength.amount.of, strength.per.of) == (BASE, ((BASE, 1),), ())
    assert strength != read_strength(text, of=SALT)


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("0.5 % (5 mg/mL)", Form.PERCENT_WV),
        ("0.5 % w/v (5 mg per mL)", Form.PERCENT_WV),
        ("5 mg/mL (0.5 %)", Form.PER_VOLUME),
        ("1:1,000 (1 mg/mL)", Form.RATIO),
        ("1 in 1,000 ( 1 mg in 1 mL )", Form.RATIO),
        ("2.5 mg/3 mL (5 mg/6 mL)", Form.PER_VOLUME),
    ],
)
def test_of_two_strengths_that_agree_the_first_is_kept(text: str, form: Form) -> None:
    assert read_strength(text).form is form


@pytest.mark.parametrize(
    ("text", "moiety", "told"),
    [
        ("0.5 % (50 mg/mL)", None, "5 mg/mL against 50 mg/mL"),
        ("1:1,000 (0.01 %)", None, "1 mg/mL against 0.1 mg/mL"),
        ("0.9 % (154 mEq/L)", None, "9 mg/mL against 154 mEq/L"),
        ("100 units/mL (10 units/mL)", "heparin", "100 unit/mL against 10 unit/mL"),
        ("5 mg/mL (5 mg/vial)", None, "5 mg/mL against 5 mg/container"),
    ],
)
def test_two_strengths_that_disagree_are_refused(text: str, moiety: str | None, told: str) -> None:
    rule = f"the two strengths disagree, {told}"
    assert faults_of(text, moiety=moiety) == [
        Fault(field="strength", rule=rule, came=text, accepted="one strength, or two that agree")
    ]


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "/", "%", "mg/mL", "5", "5 mg", "5 mg mL", "5 mg/", "/mL", "per mL", "w/v", "5 % v/v", "5 % w/v/w"),
        *(
            "5 % (w/v",
            "5 % w/v)",
            "5 % (w/v) (50 mg/mL)",
            "5 %%",
            "5 % 50 mg/mL",
            "5 wt%",
            "-5 %",
            "+5%",
            "1e1 %",
            "5 percentage",
        ),
        *("2:1000", "10:1", "01:1000", "1:", "1:x", "1 to 1000", "1/200", "1:1:1000", "1;1000", "-1:1000", "1:-1000"),
        *(
            "5 mg/kg",
            "5 mg/h",
            "5 mg/mg",
            "5 mL/mL",
            "5 mL/L",
            "5 kg/mL",
            "5 mg/kg/mL",
            "5 mg/dose",
            "5 mg/puff",
            "5 % /mL",
        ),
        *(
            "5 mg/mL.",
            "5 mg/mL/",
            "5 mg/m\u2113",
            "5 mg\u2215mL",
            "(5 mg/mL)",
            "5 mg/mL ()",
            "\U0001f4a7/mL",
            "\U0001f4a7",
        ),
    ],
)
def test_what_is_no_amount_in_a_volume_is_refused(text: str) -> None:
    faults = faults_of(text)
    assert faults
    assert all(fault.field == "strength" and fault.accepted for fault in faults)


@pytest.mark.parametrize(
    ("text", "came", "rule", "accepted"),
    [
        ("5 mg", "5 mg", NO_STRENGTH, ACCEPTED),
        ("5 mg/kg", "5 mg/kg", NO_STRENGTH, ACCEPTED),
        ("5 mL/mL", "5 mL/mL", NO_STRENGTH, ACCEPTED),
        ("0 mg/mL", "0 mg/mL", OF_NOTHING, ACCEPTED),
        ("0 %", "0 %", OF_NOTHING, ACCEPTED),
        ("5 mg/0 mL", "5 mg/0 mL", IN_NOTHING, ACCEPTED),
        ("1:0", "1:0", "a ratio 1:n has n of 1 or more", "1:1,000"),
        ("1:0.5", "1:0.5", "a ratio 1:n has n of 1 or more", "1:1,000"),
        (
            "1:10 w/w",
            "1:10 w/w",
            "a ratio strength by weight is not used for a solution here",
            "1:1,000 (1 g in 1,000 mL)",
        ),
        ("5 mg/cc", "5 mg/cc", "cc is read as 00 or U", "mL"),
        ("5 mg/3 cc", "3 cc", "cc is read as 00 or U", "mL"),
        ("5 U/mL", "5 U", "U is read as 0, 4 or cc", "units"),
        ("1,5 %", "1,5", "a comma must part thousands, and 1,5 could be 1.5 or 15", "1.5, or 15"),
        ("1:1,5", "1,5", "a comma must part thousands, and 1,5 could be 1.5 or 15", "1.5, or 15"),
    ],
)
def test_a_refused_strength_says_why_and_what_is_accepted(text: str, came: str, rule: str, accepted: str) -> None:
    assert faults_of(text) == [Fault(field="strength", rule=rule, came=came, accepted=accepted)]


@pytest.mark.parametrize("text", ["1:10 w/w", "1:10 (w/w)", "1 in 10 ( W / W )"])
def test_a_ratio_by_weight_is_never_read_as_one_by_volume(text: str) -> None:
    assert rules_of(text) == ["a ratio strength by weight is not used for a solution here"]


@pytest.mark.parametrize(
    "text",
    [".5 %", "0.50 %", ".5 mg/mL", "5.0 mg/mL", "2.5 mg/3.0 mL", "2.5 mg/.5 mL", "1:1000.0", "0.5 % (5.0 mg/mL)"],
)
def test_lost_points_and_zeros_are_questioned_in_an_order_and_read_elsewhere(text: str) -> None:
    assert "is read as ten times more" in rules_of(text, Manner.ORDER)[0]
    assert read_strength(text, manner=Manner.READING) == read_strength(text)


@pytest.mark.parametrize("text", ["1/12 %", "5/6 mg/mL", "1 in 500/3", "2.5 mg in 25/12 mL", "5/6 mg/3 mL"])
def test_a_fraction_is_read_from_data_only(text: str) -> None:
    assert read_strength(text).amount.value > 0
    for manner in (Manner.ORDER, Manner.READING):
        assert rules_of(text, manner) == ["a number is digits with at most one point"]


@pytest.mark.parametrize("text", ["5 mg/25/12 mL", "5 mg per 25/12 mL", "25/12 mL", "1/2 mL", "5/1/2 mL"])
def test_a_fraction_below_a_stroke_could_be_two_strokes_and_is_refused(text: str) -> None:
    assert faults_of(text)


@pytest.mark.parametrize(
    ("text", "manner", "rules"),
    [
        ("5 U/3 cc", Manner.DATA, ["U is read as 0, 4 or cc", "cc is read as 00 or U"]),
        ("0 mg/0 mL", Manner.DATA, [OF_NOTHING, IN_NOTHING]),
        (
            ".5 % (5 mg/cc)",
            Manner.ORDER,
            ["a point without a digit before it is read as ten times more", "cc is read as 00 or U"],
        ),
        (
            "1:0.5 w/w",
            Manner.DATA,
            ["a ratio 1:n has n of 1 or more", "a ratio strength by weight is not used for a solution here"],
        ),
    ],
)
def test_all_faults_of_one_strength_come_together(text: str, manner: Manner, rules: list[str]) -> None:
    assert rules_of(text, manner) == rules


def test_the_longest_text_that_is_looked_at_has_two_hundred_characters() -> None:
    assert read_strength("5 mg/" + " " * 193 + "mL") == read_strength("5 mg/mL")
    assert rules_of("5 mg/" + " " * 194 + "mL") == ["at most 200 characters"]


@pytest.mark.parametrize("text", ["5 mg/" * 2_000, "(" * 10_000, "1" * 10_000, "5 % " + "w/v " * 2_499, "in " * 3_333])
def test_a_very_long_text_is_refused(text: str) -> None:
    assert rules_of(text) == ["at most 200 characters"]


@pytest.mark.parametrize(
    "text", ["5 mg/" * 40, "(" * 200, "1" * 200, "in " * 66, "5 %" + " " * 197, "per" * 66, "5 " + "in/" * 66]
)
def test_the_longest_text_that_is_looked_at_is_answered(text: str) -> None:
    assert text == "5 %" + " " * 197 or faults_of(text)


PER_VOLUME = read_strength("5 mg/mL", of=BASE)


@pytest.mark.parametrize(
    ("amount", "per", "form"),
    [
        (of(5, "mg"), of(1, "mg"), Form.PER_VOLUME),
        (of(5, "mg"), of(1, "container"), Form.PER_VOLUME),
        (of(5, "mg"), of(1, "mL"), Form.PER_CONTAINER),
        (of(5, "mg"), of(1, "mL"), Form.PERCENT_WW),
        (of(5, "mg"), of(1, "mg"), Form.PERCENT_WV),
        (of(5, "mg"), of(1, "g"), Form.RATIO),
        (of(5, "mL"), of(1, "mL"), Form.PER_VOLUME),
        (of(5, "mg/kg"), of(1, "mL"), Form.PER_VOLUME),
        (of(5, "kg"), of(1, "mL"), Form.PER_VOLUME),
        (of(5, "mEq"), of(100, "mL"), Form.PERCENT_WV),
        (of(5, "unit", BASE), of(1000, "mL"), Form.RATIO),
        (of(5, "mmol"), of(1, "g"), Form.PERCENT_WW),
    ],
)
def test_a_strength_of_the_wrong_kind_cannot_be_made(amount: Quantity, per: Quantity, form: Form) -> None:
    with pytest.raises(Unlike, match=f"a strength as {form.value} is "):
        Strength(amount=amount, per=per, form=form)


def test_a_strength_of_nothing_or_in_nothing_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="a strength of nothing is no strength"):
        Strength(amount=of(0, "mg"), per=of(1, "mL"), form=Form.PER_VOLUME)
    with pytest.raises(ValueError, match="a strength in nothing is no strength"):
        Strength(amount=of(1, "mg"), per=of(0, "mL"), form=Form.PER_VOLUME)


def test_a_dose_of_the_same_moiety_has_a_volume_in_ml() -> None:
    volume = PER_VOLUME.volume_of(of(2500, "mcg", BASE))
    assert (volume.value, volume.unit, volume.of) == (Fraction(1, 2), unit("mL"), ())


@pytest.mark.parametrize(
    ("dose", "strength"),
    [
        (of(5, "mg", SALT), "5 mg/mL"),
        (of(5, "mg"), "5 mg/mL"),
        (of(5, "unit", BASE), "5 mg/mL"),
        (of(5, "mg", BASE), "5 units/mL"),
        (of(5, "mEq", BASE), "5 mmol/mL"),
        (of(5, "mg/kg", BASE), "5 mg/mL"),
        (of(5, "mL"), "5 mg/mL"),
        (of(5, "mg", BASE), "300 mg/vial"),
        (of(5, "mg", BASE), "5 % w/w"),
    ],
)
def test_a_dose_that_cannot_be_measured_out_of_a_strength_is_refused(dose: Quantity, strength: str) -> None:
    with pytest.raises(Unlike, match="cannot be measured out of"):
        read_strength(strength, of=BASE).volume_of(dose)


@pytest.mark.parametrize(
    ("strength", "held", "amount"),
    [
        ("5 mg/mL", of(3, "mL"), of(15, "mg", BASE)),
        ("0.5 %", of(2, "mL"), of(10, "mg", BASE)),
        ("300 mg/vial", of(2, "container"), of(600, "mg", BASE)),
        ("5 % w/w", of(2, "mg"), of(100, "mcg", BASE)),
        ("100 units/mL", of(500, "microlitre"), of(50, "unit", BASE)),
    ],
)
def test_a_volume_or_a_container_holds_an_amount_in_the_unit_of_the_strength(
    strength: str, held: Quantity, amount: Quantity
) -> None:
    read = read_strength(strength, of=BASE)
    assert read.amount_in(held) == amount
    assert read.amount_in(held).unit == read.amount.unit


def test_a_strength_in_kilograms_of_substance_answers_in_kilograms_of_substance() -> None:
    strength = Strength(amount=of(2, "kilogram", BASE), per=of(1, "L"), form=Form.PER_VOLUME)
    assert strength.amount_in(of(1, "mL")) == of(2, "g", BASE)
    assert str(strength.amount_in(of(1, "mL")).unit) == "kilogram"


@pytest.mark.parametrize("held", [of(3, "mg"), of(3, "container"), of(3, "mL", BASE), of(3, "mL/kg")])
def test_what_is_no_volume_holds_nothing_of_a_strength_by_volume(held: Quantity) -> None:
    with pytest.raises(Unlike, match="does not hold"):
        PER_VOLUME.amount_in(held)


def test_strengths_are_equal_in_the_same_form_and_ratio_only() -> None:
    assert read_strength("2.5 mg/3 mL") == read_strength("5 mg in 6 mL")
    assert hash(read_strength("2.5 mg/3 mL")) == hash(read_strength("5 mg in 6 mL"))
    assert read_strength("0.5 %") != read_strength("5 mg/mL")
    assert read_strength("5 mg/mL") != "5 mg/mL"


@given(strengths((Form.PER_VOLUME, Form.PERCENT_WV, Form.RATIO)), positive)
def test_volume_and_amount_undo_each_other(strength: Strength, value: Fraction) -> None:
    dose = Quantity(value, strength.amount.unit, strength.amount.of)
    assert strength.amount_in(strength.volume_of(dose)) == dose
    assert dose / strength.ratio * strength.ratio == dose


@given(strengths())
def test_a_strength_holds_its_own_amount(strength: Strength) -> None:
    assert strength.amount_in(strength.per) == strength.amount


@pytest.mark.parametrize("label", ["0.083 % (2.5 mg/3 mL)", "2.5 mg/3 mL (0.083 %)", "0.042 % (1.25 mg/3 mL)"])
def test_a_percent_that_is_the_amount_rounded_to_its_own_digits_agrees_and_the_amount_is_kept(label: str) -> None:
    amount = "1.25 mg/3 mL" if "1.25" in label else "2.5 mg/3 mL"
    assert read_strength(label) == read_strength(amount)


@pytest.mark.parametrize(
    "label", ["0.084 % (2.5 mg/3 mL)", "0.083 % (2.6 mg/3 mL)", "1 % (6 mg/mL)", "0.083 % (2.5 units/3 mL)"]
)
def test_a_percent_that_is_not_the_rounded_amount_disagrees(label: str) -> None:
    with pytest.raises(Refused, match="disagree"):
        read_strength(label, of="albuterol")
