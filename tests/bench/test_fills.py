"""What is added to the drug: by the order, by the label, by the output; what is asked; and the cup that it goes into."""

from dataclasses import replace
from fractions import Fraction

import pytest

from drawndose import Status, plan
from drawndose.bench.fills import FillPlan
from drawndose.quantities import Quantity
from tests.bench.benches import BOOK, BOTTLE, UNPUBLISHED, bench, found, made, one, order, ready, rules, tools

# ------------------------------------------------------------------------------------------------ the fill


def test_a_fill_question_holds_every_finding_about_the_fill_back() -> None:
    plan = made("albuterol 10 mg/h to 60 mL by nebulizer for 4 h, output 25 mL/h", BOTTLE, cup="reservoir-240")
    assert plan.status is Status.ASK
    assert not rules(plan) & {"fill-under-cup", "fill-over-cup", "concentrate-undiluted"}


@pytest.mark.parametrize("fill", ["to 60 mL", "add 50 mL saline", "undiluted", "to 5 mL"])
def test_a_continuous_order_whose_fill_is_not_what_the_output_uses_is_asked(fill: str) -> None:
    plan = made(f"albuterol 10 mg/h {fill} by nebulizer for 4 h, output 25 mL/h", BOTTLE, cup="reservoir-240")
    assert plan.status is Status.ASK
    assert plan.takes == ()
    (question,) = [question for question in plan.questions if question.field == "fill"]
    assert question.asks.endswith("is not what the output uses: 25 mL per h for 4 h is 100 mL. Which?")


@pytest.mark.parametrize("fill", ["to 100 mL", "add 92 mL saline"])
def test_a_continuous_order_whose_fill_is_what_the_output_uses_is_ready(fill: str) -> None:
    plan = ready(f"albuterol 10 mg/h {fill} by nebulizer for 4 h, output 25 mL/h", BOTTLE, cup="reservoir-240")
    assert (plan.fill.added, plan.fill.total) == (92, 100)


def test_adding_a_volume_and_making_up_to_it_are_not_the_same() -> None:
    add = ready("albuterol 2.5 mg by nebulizer, add 3 mL saline", BOTTLE)
    assert (add.fill.rule.value, add.fill.total) == ("add", Fraction(7, 2))
    to = ready("albuterol 2.5 mg by nebulizer, made up to 3 mL with saline", BOTTLE)
    assert (to.fill.rule.value, to.fill.total) == ("to a total", 3)


def test_a_diluent_is_asked_where_neither_order_nor_label_names_one() -> None:
    plan = made("acetylcysteine 300 mg by nebulizer to 6 mL", "acetylcysteine-10pct")
    assert plan.status is Status.ASK
    assert [question.asks for question in plan.questions if question.field == "diluent"] == [
        "Which diluent? Neither the order nor the label says one."
    ]
    two = made("acetylcysteine 300 mg by nebulizer to 6 mL", "acetylcysteine-20pct")
    assert [question.asks for question in two.questions if question.field == "diluent"] == [
        "Which diluent? The label allows more than one."
    ]
    named = ready("acetylcysteine 300 mg by nebulizer to 6 mL with sterile water", "acetylcysteine-20pct")
    assert named.fill.diluent == "sterile water"


def test_a_diluent_between_lines_takes_the_lower_line_where_the_upper_one_would_overfill_the_cup() -> None:
    text = "acetylcysteine 300 mg by nebulizer to 6 mL with sterile water"
    full = ready(text, "acetylcysteine-20pct")
    assert (full.fill.need, full.fill.drawn.volume, full.fill.total) == (
        Fraction(9, 2),
        Fraction(22, 5),
        Fraction(59, 10),
    )
    assert ready(text, "acetylcysteine-20pct", cup="cup-8").fill.total == Fraction(61, 10)


def test_the_bare_word_saline_means_the_one_that_the_label_names_and_is_asked_where_it_names_none() -> None:
    assert ready("albuterol 2.5 mg by nebulizer to 3 mL with saline", BOTTLE).fill.diluent == "sodium chloride 0.9 %"
    plan = made("acetylcysteine 300 mg by nebulizer to 6 mL with saline", "acetylcysteine-10pct")
    (question,) = [question for question in plan.questions if question.field == "diluent"]
    assert question.options == ("with sodium chloride 0.9 %", "with sodium chloride 0.45 %")


def test_a_printed_range_of_fills_is_asked_and_a_drug_volume_above_the_labels_total_too() -> None:
    plan = made("racepinephrine 0.5 mL of 2.25 % by nebulizer")
    (question,) = [question for question in plan.questions if question.field == "fill"]
    assert question.options == ("made up to 3 mL", "made up to 5 mL")
    more = made("albuterol 20 mg by nebulizer", BOTTLE, book=UNPUBLISHED)
    (question,) = [question for question in more.questions if question.field == "fill"]
    assert question.asks == "The drug alone is 4 mL and the label makes it up to 3 mL. Which total is ordered?"


def test_no_cup_is_asked_beside_the_plan_and_the_orders_cup_is_the_one_that_is_checked() -> None:
    none = ready("albuterol 2.5 mg by nebulizer to 7 mL", BOTTLE, cup="")
    assert [(question.field, question.blocking) for question in none.questions if question.field == "cup"] == [
        ("cup", False)
    ]
    both = (*tools(), BOOK.cups[2])
    assert {cup.id for cup in BOOK.cups[:3]} == {"cup-6", "cup-8", "cup-10"}
    asked = order("albuterol 2.5 mg by nebulizer to 7 mL in a 6 mL cup")
    assert str(asked.cup.value) == "6"
    small = plan(asked, containers=bench(BOTTLE), instruments=both)
    assert (small.cup.id, small.status) == ("cup-6", Status.STOPPED)
    other = plan(
        order("albuterol 2.5 mg by nebulizer to 7 mL in an 8 mL cup"), containers=bench(BOTTLE), instruments=both
    )
    assert other.cup.id == "cup-10"
    assert "Which cup? The order names one of 8 mL; the fill is checked against the 10 mL nebulizer cup." in [
        question.asks for question in other.questions
    ]


# ------------------------------------------------------------------------------------------- a cylinder for the diluent

HOURS = "albuterol 10 mg/h by nebulizer for 4 h, output 25 mL/h"


def with_flask(*idents: str) -> FillPlan:
    """The fill of 8 mL of drug to 100 mL where the diluent comes in one large container."""
    saline = one("sodium-chloride-0.9pct-unit-dose", "15 mL")
    flask = replace(saline, pack=replace(saline.pack, volume=Quantity.of_text(500, "mL")))
    have = [*bench(BOTTLE, diluents=False), flask]
    plan = made(HOURS, have=have, using=("syringe-10-oral", *idents), cup="reservoir-240")
    assert plan.fill is not None, plan.not_taken
    return plan.fill


def test_a_cylinder_measures_a_diluent_that_no_syringe_holds() -> None:
    drawn = with_flask("cylinder-100").drawn
    assert drawn is not None
    assert (drawn.instrument.id, drawn.fills) == ("cylinder-100", (92,))
    assert drawn.reading == "the lowest point of the curve on the 92 mL line, the second line past 90 mL"


def test_a_cylinder_never_measures_drug() -> None:
    plan = made("albuterol 10 mg by nebulizer to 12 mL", BOTTLE, using=("cylinder-10",), cup="reservoir-240")
    assert plan.takes == ()


def test_a_cylinder_that_would_be_nearly_empty_comes_after_a_smaller_one_and_is_cautioned() -> None:
    text = "albuterol 10 mg by nebulizer, add 12 mL saline"
    have = [*bench(BOTTLE, diluents=False), one("sodium-chloride-0.9pct-unit-dose", "15 mL")]
    syringe = ("syringe-2-oral",)
    both = ready(text, have=have, using=(*syringe, "cylinder-25", "cylinder-100"), cup="reservoir-240")
    assert both.fill.drawn.instrument.id == "cylinder-25"
    assert "cylinder-nearly-empty" not in rules(both)
    large = ready(text, have=have, using=(*syringe, "cylinder-100"), cup="reservoir-240")
    assert large.fill.drawn.instrument.id == "cylinder-100"
    said = found(large, "cylinder-nearly-empty")
    assert said.level.value == "caution"
    assert said.says == (
        "12 mL of diluent in the 100 mL graduated cylinder is 12 % of what it holds; 20 % is the least. It may be off by 1 mL."
    )
    syringes = ready(text, have=have, using=("syringe-20-oral", "cylinder-25"), cup="reservoir-240")
    assert syringes.fill.drawn.instrument.id == "syringe-20-oral"
