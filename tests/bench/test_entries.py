"""Entries into a container with their air, and what needle and nozzle keep beside the dose."""

from dataclasses import replace
from fractions import Fraction

import pytest

from drawndose import Plan, Status, plan
from drawndose.bench.dead_space import Change
from drawndose.bench.entries import CHANGES, WIDEST, air_words, entries, needle_case
from drawndose.bench.findings import Waiver
from drawndose.bench.kept import Kept, Tool
from drawndose.bench.plan_data import plan_data
from drawndose.bench.policy import FilterNeedle, Policy
from drawndose.bench.takes import NEEDLED, Take
from drawndose.reference import Container, Phase, UnitDose
from tests.bench.benches import BOOK, UNPUBLISHED, bench, found, one, order, ready, rules, says, tools

AMPOULES = ("epinephrine 5 mg by nebulizer once", "epinephrine-1mg-1ml-ampoule")
BIG_VIAL = ("acetylcysteine 600 mg by nebulizer", "acetylcysteine-20pct")


def take(text: str, ident: str, **more: object) -> Take:
    return ready(text, ident, **more).takes[0]


def ml(*texts: str) -> list[Fraction]:
    return [Fraction(text) for text in texts]


def test_each_ampoule_is_one_entry_and_no_air_goes_into_one() -> None:
    found = entries(take(*AMPOULES, using=("syringe-10",)))
    assert [(one.container, one.fill) for one in found] == [(number, 1) for number in range(1, 6)]
    assert {one.volume for one in found} == {1}
    assert {one.air for one in found} == {0}


def of_vials(dose: str, using: str) -> Plan:
    """The plan for a dose out of 1 mL vials."""
    vials = [one("glycopyrrolate-0.2mg-per-ml-injection", "1 mL"), *bench("sodium-chloride-0.9pct-unit-dose")]
    return ready(
        f"glycopyrrolate {dose} by nebulizer to 6 mL with normal saline",
        have=vials,
        using=(using,),
        cup="cup-8",
        book=UNPUBLISHED,
    )


def test_as_much_air_goes_into_a_vial_as_is_drawn_at_each_entry() -> None:
    plan = of_vials("0.5 mg", "syringe-3")
    assert [one.air for one in entries(plan.takes[0])] == ml("1", "1", "0.5")
    assert "as much as will be drawn: 1 mL, then 1 mL, then 0.5 mL, one entry each." in says(plan)


def test_a_fill_and_a_vial_need_not_end_together() -> None:
    assert [(one.container, one.fill, one.volume) for one in entries(of_vials("0.8 mg", "syringe-2.5").takes[0])] == [
        (1, 1, Fraction(1)),
        (2, 1, Fraction(1)),
        (3, 1, Fraction(1, 2)),
        (3, 2, Fraction(1, 2)),
        (4, 2, Fraction(1)),
    ]


def test_equal_entries_are_said_once() -> None:
    assert air_words(of_vials("0.4 mg", "syringe-3").takes[0]) == "1 mL at each of 2 entries"
    assert air_words(take(*BIG_VIAL)) == "3 mL"


def test_nothing_goes_into_a_dropper_bottle_or_a_squeezed_unit() -> None:
    for made in (
        take("albuterol 2 mg by nebulizer, made up to 3 mL", "albuterol-0.5pct-bottle-20ml"),
        take("albuterol 2.5 mg by nebulizer", "albuterol-2.5mg-3ml"),
    ):
        assert entries(made) == ()
        assert needle_case(made) is None
        assert air_words(made) == "nothing"


def test_the_stock_of_a_first_dilution_is_what_leaves_the_vial() -> None:
    made = take("terbutaline 0.03 mg by nebulizer to 3 mL with normal saline", "terbutaline-1mg-1ml", book=UNPUBLISHED)
    assert made.first_dilution is not None
    assert [one.volume for one in entries(made)] == [made.first_dilution.stock.volume]


def test_the_line_is_delivered_and_needle_and_nozzle_are_lost_for_each_fill() -> None:
    made = take(*AMPOULES, using=("syringe-3",))
    case = needle_case(made)
    assert case is not None
    assert (case.result.volume, case.lost) == (5, 2 * (Fraction(7, 100) + Fraction(7, 100)))
    assert (case.change, case.own, case.keeps) == (Change.FILTER_OFF, False, Fraction(7, 100))


@pytest.mark.parametrize(
    ("text", "ident", "needles", "keeps", "own"),
    [
        (*BIG_VIAL, ("needle-21g",), "0.05", True),
        (*BIG_VIAL, ("needle-18g", "needle-21g"), "0.07", True),
        (*BIG_VIAL, ("needle-25g",), "0.07", False),
        (*BIG_VIAL, ("filter-needle",), "0.07", False),
        (*AMPOULES, ("needle-21g",), "0.07", False),
        (*AMPOULES, ("filter-straw",), "0.07", False),
    ],
)
def test_of_the_needles_on_the_bench_the_fitting_one_that_keeps_most_is_counted(
    text: str, ident: str, needles: tuple[str, ...], keeps: str, own: bool
) -> None:
    case = needle_case(take(text, ident), [BOOK.needle(one) for one in needles])
    assert case is not None
    assert (case.keeps, case.own) == (Fraction(keeps), own)


def test_the_sentence_says_whose_figure_is_counted() -> None:
    made, ampoule = take(*BIG_VIAL), take(*AMPOULES)
    assert needle_case(made).says == "What stays in the needle, up to 0.07 mL, is no part of the dose."  # type: ignore[union-attr]
    named = needle_case(made, [BOOK.needle("needle-21g")])
    assert named is not None
    assert named.says == "What the 21 G needle, 38 mm keeps, 0.05 mL, is no part of the dose."
    unknown = needle_case(ampoule, [BOOK.needle("filter-needle")])
    assert unknown is not None
    assert "for the filter needle no figure was found: weigh it" in unknown.says


def test_the_widest_needle_is_the_one_that_keeps_most() -> None:
    assert BOOK.needle(WIDEST).keeps == max(one.keeps for one in BOOK.needles if one.keeps is not None)
    assert set(CHANGES) == NEEDLED


@pytest.mark.parametrize("container", [Container.STOPPERED_VIAL, Container.POWDER_VIAL])
def test_the_steps_of_a_vial_take_the_needle_off_after_the_line_was_set(container: Container) -> None:
    drawn = [step.says for step in BOOK.technique(container.value).steps if step.phase is Phase.DRAW]
    line = next(place for place, text in enumerate(drawn) if "{reading}" in text)
    off = next(place for place, text in enumerate(drawn) if "take the needle off" in text)
    target = next(place for place, text in enumerate(drawn) if "{target}" in text)
    assert line < off < target
    assert CHANGES[container] is Change.TAKEN_OFF


def test_the_steps_of_an_ampoule_take_the_filter_off_before_the_line_is_set() -> None:
    drawn = [step.says for step in BOOK.technique("glass ampoule").steps if step.phase is Phase.DRAW]
    off = next(place for place, text in enumerate(drawn) if "Filter needle off" in text)
    line = next(place for place, text in enumerate(drawn) if "{reading}" in text)
    target = next(place for place, text in enumerate(drawn) if "{target}" in text)
    assert off < line < target
    assert CHANGES[Container.GLASS_AMPOULE] is Change.FILTER_OFF
    told = says(ready(*AMPOULES))
    assert "never push back out through it. What stays in the needle, up to 0.07 mL, is no part of the dose." in told


def with_tools(text: str, ident: str, *more: Tool, using: tuple[str, ...] = ()) -> Plan:
    made = plan(order(text), containers=bench(ident), instruments=(*tools(*using), *more))
    assert made.status is Status.READY
    return made


def test_needles_that_are_named_are_counted_in_the_plan_and_told() -> None:
    text, ident = BIG_VIAL
    made = with_tools(text, ident, BOOK.needle("needle-23g"))
    told = plan_data(made)["draws"][0]  # type: ignore[index]
    assert told["needle"]["needle"] == "needle-23g"
    assert told["needle"]["keeps"]["value"] == "0.05"
    assert told["needle"]["own_figure"] is True
    assert [entry["air"]["value"] for entry in told["entries"]] == ["3"]
    assert told["measured"]["permissible_share"] == str(Fraction(told["measured"]["permissible_error"]["value"]) / 3)


def test_an_ampoule_and_only_open_needles_is_cautioned() -> None:
    text, ident = AMPOULES
    made = with_tools(text, ident, BOOK.needle("needle-21g"))
    assert found(made, "filter-needle-missing").level.value == "caution"
    assert "filter-needle-missing" not in rules(with_tools(text, ident, BOOK.needle("filter-straw")))
    assert "filter-needle-missing" not in rules(ready(text, ident))
    assert "filter-needle-missing" not in rules(with_tools(*BIG_VIAL, BOOK.needle("needle-21g")))


def test_a_facility_may_make_a_missing_filter_a_stop() -> None:
    text, ident = AMPOULES
    strict = Policy(filter_needle=FilterNeedle.STOP)

    def with_needle(name: str) -> Plan:
        return plan(order(text), containers=bench(ident), instruments=(*tools(), BOOK.needle(name)), policy=strict)

    made = with_needle("needle-21g")
    stop = found(made, "filter-needle-missing")
    assert (made.status, stop.level.value, stop.waiver) == (Status.STOPPED, "stop", Waiver.NOBODY)
    assert stop.do.startswith("Fetch a filter needle")
    assert (with_needle("filter-straw").status, "filter-needle-missing" in rules(with_needle("filter-straw"))) == (
        Status.READY,
        False,
    )


@pytest.mark.parametrize(
    ("text", "ident", "using", "level"),
    [
        # 5 ampoules: 0.5 mL recommended above the label, and one fill of a 10 mL syringe keeps 0.17 mL
        (*AMPOULES, ("syringe-10",), "note"),
        # five fills of a 1 mL syringe keep 0.7 mL
        ("epinephrine 5 mg by nebulizer once", "epinephrine-1mg-1ml-ampoule", ("syringe-1",), "caution"),
    ],
)
def test_the_recommended_excess_covers_what_stays_behind_or_the_preparer_is_cautioned(
    text: str, ident: str, using: tuple[str, ...], level: str
) -> None:
    assert found(ready(text, ident, using=using, most_fills=5), "needed-to-the-last-drop").level.value == level


UNIT = UnitDose(
    id="own",
    name="own",
    nominal=Fraction(3),
    excess=Fraction(2, 10),
    stays=Fraction(8, 100),
    origin=BOOK.unit_doses[0].origin,
)


def test_a_unit_that_was_weighed_says_what_it_gives_and_changes_no_dose() -> None:
    made = with_tools("albuterol 2.5 mg by nebulizer", "albuterol-2.5mg-3ml", UNIT)
    said = found(made, "squeezed-unit")
    assert said.says == "Squeezed empty, one unit of 3 mL gives about 3.12 mL as it was weighed here."
    assert made.takes[0].volume == 3
    assert "squeezed-unit" not in rules(ready("albuterol 2.5 mg by nebulizer", "albuterol-2.5mg-3ml"))
    part = with_tools("albuterol 1.25 mg by nebulizer", "albuterol-2.5mg-3ml", UNIT)
    assert "squeezed-unit" not in rules(part)


def test_units_of_diluent_that_were_weighed_say_what_the_cup_holds() -> None:
    text, ident = "albuterol 2.5 mg by nebulizer, add 3 mL saline", "albuterol-0.5pct-bottle-20ml"
    said = found(with_tools(text, ident, UNIT), "squeezed-diluent")
    assert said.says == "By nominal contents the cup holds 3.5 mL; as the units were weighed here, about 3.62 mL."
    assert "squeezed-diluent" not in rules(ready(text, ident))


def test_what_was_weighed_holds_for_its_own_size_and_presentation_only() -> None:
    kept = Kept(unit_doses=(replace(UNIT, of="albuterol-2.5mg-3ml"),))
    assert kept.squeezed(one("albuterol-2.5mg-3ml")) is not None
    assert kept.squeezed(one("albuterol-1.25mg-3ml")) is None
    assert kept.squeezed(one("albuterol-2.5mg-0.5ml")) is None
    assert kept.squeezed(one("albuterol-0.5pct-bottle-20ml")) is None
    assert Kept(unit_doses=(replace(UNIT, excess=None),)).squeezed(one("albuterol-2.5mg-3ml")) is None


def test_a_departments_own_excess_goes_before_the_catalogues() -> None:
    own = replace(BOOK.excess[1], mobile=Fraction(2, 10))
    assert own.labelled == 1
    ampoule = one("epinephrine-1mg-1ml-ampoule")
    assert (Kept(excess=(own,)).excess_of(ampoule), Kept().excess_of(ampoule)) == (Fraction(2, 10), Fraction(1, 10))
    assert Kept().excess_of(one("colistimethate-150mg-vial")) is None
    assert Kept().excess_of(one("acetylcysteine-20pct", "10 mL", left="4 mL")) is None
    assert Kept().excess_of(one("lidocaine-4pct-bottle-50ml")) == 1
    assert Kept().excess_of(one("acetylcysteine-20pct", "4 mL")) is None
