"""A capacity is no scale: what is only called by it is asked for."""

import pytest

from drawndose import Status, load, plan
from drawndose.bench.scales import called
from drawndose.quantities import Refused
from tests.bench.benches import BOTTLE, bench, order, ready, tools

BOOK = load()
TWO_MG = "albuterol 2 mg by nebulizer, made up to 3 mL"


@pytest.mark.parametrize(
    ("text", "ident"),
    [
        ("syringe-1", "syringe-1"),
        (" cylinder-100 ", "cylinder-100"),
        ("3 mL syringe, oral tip", "syringe-3-oral"),
        ("3 mL syringe  luer slip", "syringe-3-slip"),
        ("1 mL syringe marked every 0.01 mL, oral tip", "syringe-1-oral"),
        ("1mL Syringe marked every 0.05 mL, luer lock", "syringe-1-step-0.05"),
        ("100 mL graduated cylinder", "cylinder-100"),
        ("10 mL cylinder", "cylinder-10"),
    ],
)
def test_an_id_or_a_name_with_its_scale_and_tip_is_that_measure(text: str, ident: str) -> None:
    assert called(text, BOOK.measures).id == ident


@pytest.mark.parametrize(
    "text", ["1 mL syringe", "1 mL syringe, oral tip", "1 mL syringe marked every 0.01 mL", "3 mL syringe"]
)
def test_a_name_that_fits_several_is_asked_back_with_the_scale_of_each(text: str) -> None:
    with pytest.raises(Refused, match="read scale and tip on yours") as refused:
        called(text, BOOK.measures)
    (fault,) = refused.value.faults
    assert fault.field == "with"
    assert "marks every" in fault.accepted
    assert fault.accepted.count(";") >= 1


def test_a_capacity_with_one_scale_and_one_tip_on_the_bench_is_that_one() -> None:
    assert (
        called("1 mL syringe", [BOOK.instrument("syringe-1-oral"), BOOK.instrument("syringe-3-oral")]).id
        == "syringe-1-oral"
    )


@pytest.mark.parametrize(
    "text", ["7 mL syringe", "syringe", "1 mL syringe marked every 0.03 mL", "3 mL syringe, catheter tip"]
)
def test_what_is_not_there_is_refused_by_name(text: str) -> None:
    with pytest.raises(Refused, match="no instrument here is called so"):
        called(text, BOOK.measures, field="instrument")


def test_a_number_that_cannot_be_read_is_refused() -> None:
    with pytest.raises(Refused, match="with: "):
        called("1.1.1 mL syringe", BOOK.measures)


def on_bench(*idents: str) -> list[str]:
    made = plan(order(TWO_MG), containers=bench(BOTTLE), instruments=tools(*idents))
    assert made.status is Status.READY
    assert all(not one.blocking for one in made.questions)
    return [one.asks for one in made.questions if one.field == "instruments"]


def test_several_scales_of_the_drawn_capacity_are_asked_about_and_the_plan_says_which_it_reads() -> None:
    assert on_bench("syringe-1-oral", "syringe-1-step-0.02-oral", "syringe-1-step-0.05", "syringe-3-oral") == [
        "Which 1 mL syringe? On this bench some have marks every 0.01 mL, 0.02 mL and 0.05 mL; this plan is read on the one "
        "with marks every 0.01 mL. Look at yours."
    ]


def test_one_scale_of_each_capacity_leaves_nothing_to_ask() -> None:
    assert on_bench("syringe-1-oral", "syringe-1-slip", "syringe-3-oral") == []
    assert [one.asks for one in ready(TWO_MG, BOTTLE).questions if one.field == "instruments"] == []


def test_the_scales_of_a_first_dilution_are_asked_about_too() -> None:
    alone = ["syringe-1-oral", "syringe-3-oral", "syringe-5-oral", "syringe-10-oral"]
    for tools_named, asked in ((alone, 0), ([*alone, "syringe-1-step-0.05-oral"], 1)):
        made = plan(
            order("albuterol 0.15 mg by nebulizer to 3 mL"), containers=bench(BOTTLE), instruments=tools(*tools_named)
        )
        assert made.takes[0].first_dilution is not None
        assert made.takes[0].first_dilution.part.instrument.capacity == 1
        assert sum(one.field == "instruments" for one in made.questions) == asked


def test_of_two_scales_the_one_that_shows_the_volume_is_drawn_with() -> None:
    text = "albuterol 1.75 mg by nebulizer, made up to 3 mL"
    made = plan(
        order(text), containers=bench(BOTTLE), instruments=tools("syringe-1-step-0.02-oral", "syringe-1-step-0.05-oral")
    )
    assert made.takes[0].draw is not None
    assert made.takes[0].draw.instrument.id == "syringe-1-step-0.05-oral"  # 0.35 mL


def test_a_luer_tip_of_another_scale_is_not_passed_over_for_an_oral_one() -> None:
    text = "albuterol 1.65 mg by nebulizer, made up to 3 mL"  # 0.33 mL: only the fine scale has the line
    made = plan(order(text), containers=bench(BOTTLE), instruments=tools("syringe-1-step-0.05-oral", "syringe-1"))
    assert made.takes[0].draw is not None
    assert made.takes[0].draw.instrument.id == "syringe-1"


@pytest.mark.parametrize(
    ("tips", "taken"), [(("syringe-3", "syringe-3-slip"), "syringe-3"), (("syringe-3-slip",), "syringe-3-slip")]
)
def test_of_both_luer_tips_the_lock_holds_the_needle(tips: tuple[str, ...], taken: str) -> None:
    made = ready("acetylcysteine 600 mg by nebulizer", "acetylcysteine-20pct", using=tips)
    assert made.takes[0].draw is not None
    assert made.takes[0].draw.instrument.id == taken
