"""An order out of fields: the same phrases as in a text, each fault at its own field."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.order import FillRule, Order, read_fields, read_order
from drawndose.bench.order.fields import FIELDS, MOST_CHARACTERS
from drawndose.quantities import Quantity, Refused, read_quantity
from drawndose.reference import load

WHOLE = {
    "drug": "albuterol",
    "dose": "2.5 mg",
    "fill_rule": "to a total",
    "fill": "3 mL",
    "diluent": "0.9 % sodium chloride",
    "route": "by nebulizer",
    "device": "jet nebulizer",
    "frequency": "every 4 hours",
    "as_needed": "wheeze",
    "weight": "18 kg",
    "age": "5 years",
    "cup": "6 mL",
}


def read(**fields: str) -> Order:
    return read_fields(fields, catalogue=load())


def faults(**fields: str) -> dict[str, str]:
    with pytest.raises(Refused) as refused:
        read(**fields)
    return {fault.field: fault.rule for fault in refused.value.faults}


def test_a_whole_order_in_fields_means_what_the_same_order_in_words_means() -> None:
    made = read(**WHOLE)
    words = "albuterol 2.5 mg by jet nebulizer, made up to 3 mL with 0.9 % sodium chloride, every 4 hours as needed for wheeze, "
    told = read_order(words + "weight 18 kg, aged 5 years, in a 6 mL cup", catalogue=load())
    assert made.lines[0].dose == told.lines[0].dose
    assert (made.lines[0].drug.id, made.lines[0].moiety) == ("albuterol", "albuterol")
    assert made.fill is not None
    assert told.fill is not None
    assert (made.fill.rule, made.fill.volume) == (told.fill.rule, told.fill.volume)
    assert (made.diluent, made.device, made.as_needed, made.cup) == (
        told.diluent,
        told.device,
        told.as_needed,
        told.cup,
    )
    assert made.frequency == told.frequency
    assert made.patient == told.patient
    assert made.blocking == ()
    assert made.text.startswith("drug albuterol; dose 2.5 mg; fill rule to a total; fill 3 mL")


def test_several_drugs_each_have_their_own_fields() -> None:
    made = read(drug="albuterol", dose="2.5 mg", drug_2="ipratropium", dose_2="500 mcg", route="neb")
    assert [(line.drug.id, line.dose.amount) for line in made.lines] == [
        ("albuterol", Quantity.of_text(Fraction(5, 2), "mg", "albuterol")),
        ("ipratropium", Quantity.of_text(500, "mcg", "ipratropium bromide")),
    ]


def test_a_dose_per_kg_has_its_limits_and_a_named_strength() -> None:
    made = read(
        drug="racepinephrine", dose="0.05 mL/kg", maximum="0.5 mL", minimum="0.1 mL", strength="2.25 %", weight="8 kg",
        route="by nebulizer",
    )  # fmt: skip
    dose = made.lines[0].dose
    assert (dose.minimum, dose.maximum) == (read_quantity("0.1 mL"), read_quantity("0.5 mL"))
    assert dose.strength is not None
    assert dose.strength.ratio == Quantity.of_text(Fraction(45, 2), "mg/mL", "racepinephrine")


def test_a_dose_per_day_is_divided() -> None:
    made = read(drug="tobramycin", dose="45 mg/kg/day divided by 3", weight="10 kg", route="by nebulizer")
    assert made.lines[0].dose.divided_by == 3


def test_a_continuous_order_takes_its_duration_and_output() -> None:
    made = read(drug="albuterol", dose="10 mg/h", duration="4 h", output="25 mL/h", route="by nebulizer")
    assert (made.duration, made.output) == (read_quantity("4 h"), read_quantity("25 mL/h"))
    assert made.blocking == ()


@pytest.mark.parametrize(
    ("fields", "rule"),
    [
        ({"fill_rule": "add", "fill": "2.5 mL"}, FillRule.ADD),
        ({"fill_rule": "undiluted"}, FillRule.UNDILUTED),
        ({"fill": "3 mL"}, FillRule.UNCLEAR),
    ],
)
def test_the_fill_needs_its_rule(fields: dict[str, str], rule: FillRule) -> None:
    made = read(drug="albuterol", dose="2.5 mg", route="by nebulizer", **fields)
    assert made.fill is not None
    assert made.fill.rule is rule
    assert [question.field for question in made.blocking] == (["fill"] if rule is FillRule.UNCLEAR else [])


def test_what_is_missing_is_asked() -> None:
    assert [question.field for question in read().blocking] == ["drug", "route"]
    assert [question.field for question in read(drug="albuterol", route="neb").blocking] == ["dose"]
    assert [question.field for question in read(drug="albuterol", dose="2.5 to 5 mg", route="neb").blocking] == ["dose"]


@pytest.mark.parametrize(
    ("field", "text", "rule"),
    [
        ("colour", "red", "the field is not known"),
        ("frequency", "x" * (MOST_CHARACTERS + 1), f"a field has at most {MOST_CHARACTERS} characters"),
        ("drug", "albuterolx", "the drug is not in the catalogue"),
        ("dose_2", "2.5 mg", "a dose needs its drug"),
        ("dose", "2.5", "a dose is a number and its unit"),
        ("dose", ".5 mg", "a point without a digit before it is read as ten times more"),
        ("strength", "5 cc", "a strength is an amount in a volume"),
        ("weight", "18 lb", "weight is taken in kg only"),
        ("weight", "heavy", "this was not understood"),
        ("age", "old", "this was not understood"),
        ("route", "IV", "plans are made for nebulized inhalation only"),
        ("route", "somehow", "this was not understood"),
        ("diluent", "cola", "this was not understood"),
        ("as_needed", "whatever you think", "this was not understood"),
        ("duration", "4 mL", "this was not understood"),
        ("duration", "0 h", "this was not understood"),
        ("output", "25 mL", "this was not understood"),
        ("cup", "6 cc", "cc is read as 00 or U"),
        ("fill", "3 mg", "this was not understood"),
        ("fill_rule", "somehow", "the rule is one of a list"),
    ],
)
def test_a_fault_stands_at_its_own_field(field: str, text: str, rule: str) -> None:
    base = {"drug": "albuterol", "dose": "2.5 mg", "route": "by nebulizer"} | {field: text}
    found = faults(**base)
    named = "drug_2" if field == "dose_2" else field  # a dose without its drug is a fault of the drug
    assert found[named].startswith(rule)


def test_a_rule_without_its_volume_is_a_fault_of_the_volume() -> None:
    assert faults(drug="albuterol", dose="2.5 mg", route="neb", fill_rule="add") == {
        "fill": "the rule needs its volume"
    }


def test_undiluted_leaves_no_volume() -> None:
    found = faults(drug="albuterol", dose="2.5 mg", route="neb", fill_rule="undiluted", fill="3 mL")
    assert found == {"fill": "undiluted leaves no volume to fill"}


def test_all_faults_come_back_together() -> None:
    found = faults(drug="albuterolx", dose="1.0 mg", fill="3 cc", weight="20 lb", route="IV", colour="red")
    assert set(found) == {"drug", "dose", "fill", "weight", "route", "colour"}


@given(st.dictionaries(st.sampled_from(FIELDS), st.text(max_size=40), max_size=8))
def test_any_fields_give_an_order_or_faults(fields: dict[str, str]) -> None:
    try:
        made = read_fields(fields, catalogue=load())
    except Refused as refused:
        outcome: object = refused.faults
    else:
        outcome = made.lines or made.questions
    assert outcome
