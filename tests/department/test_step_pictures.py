"""The pictures at the steps of a plan: folded, of the plan's own containers and volumes, and only where a step asks for one."""

import re
from dataclasses import replace
from fractions import Fraction

from drawndose.bench.plans import Plan, Status
from drawndose.department.web.step_pictures import StepPicture, step_pictures
from drawndose.reference import load
from tests.bench.benches import bench, made, one, order, ready, tools
from tests.pages import post, words

VIAL, AMPOULE = "acetylcysteine-20pct", "epinephrine-1mg-1ml-ampoule"
EPINEPHRINE = "epinephrine 0.9 mg by nebulizer once, to 3 mL with normal saline"


def shown(plan: Plan) -> dict[str, list[StepPicture]]:
    """Every picture by its title, in the order of the steps."""
    found: dict[str, list[StepPicture]] = {}
    for step in plan.steps:
        for picture in step_pictures(plan, step):
            found.setdefault(picture.title, []).append(picture)
    return found


def rows(picture: StepPicture) -> list[dict[str, str]]:
    return [{name: text.replace("\u00a0", " ") for name, text in figure.rows} for figure in picture.figures]


def test_a_vial_is_turned_over_and_its_draw_trimmed() -> None:
    made_plan = ready("acetylcysteine 300 mg by nebulizer", have=(one(VIAL, "4 mL"),))
    found = shown(made_plan)
    assert list(found) == ["vial turned over", "past the mark, then trimmed"]
    [vial] = rows(found["vial turned over"][0])
    assert (vial["Holds, by its label"], vial["Taken"], vial["Stays in it"]) == ("4 mL", "1.5 mL", "2.5 mL")
    [trimmed] = rows(found["past the mark, then trimmed"][0])
    assert trimmed["2, trimmed to"] == "1.5 mL"


def test_an_ampoule_has_its_filter_its_tilt_and_its_trim() -> None:
    found = shown(ready(EPINEPHRINE, AMPOULE))
    assert list(found) == ["needle on the syringe", "ampoule tilted", "past the mark, then trimmed"]
    assert rows(found["needle on the syringe"][0])[0]["Needle"] == "filter needle"
    [ampoule] = rows(found["ampoule tilted"][0])
    assert (ampoule["Taken"], ampoule["Drawn through"]) == ("0.9 mL", "filter needle")


def test_the_needle_that_stands_on_the_bench_is_the_one_that_is_drawn() -> None:
    from drawndose import plan

    def with_needle(ident: str, text: str, *idents: str) -> dict[str, list[StepPicture]]:
        needle = next(one for one in load().needles if one.id == ident)
        return shown(plan(order(text), containers=bench(*idents), instruments=(*tools(), needle)))

    straw = with_needle("filter-straw", EPINEPHRINE, AMPOULE)
    assert rows(straw["ampoule tilted"][0])[0]["Drawn through"] == "filter straw"
    vial = with_needle("needle-21g", "acetylcysteine 300 mg by nebulizer", VIAL)
    assert rows(vial["needle on the syringe"][0])[0]["Needle"] == "21 G needle, 38 mm"


def test_containers_and_fills_that_differ_are_figures_of_their_own() -> None:
    plan = ready("epinephrine 2.5 mg by nebulizer once, to 3 mL with normal saline", AMPOULE)
    [tilted] = shown(plan)["ampoule tilted"]
    assert [row["Taken"] for row in rows(tilted)] == ["1 mL", "0.5 mL"], (
        "two whole ones are alike, the last gives a part"
    )


def test_a_powder_vial_that_is_emptied_is_turned_over_with_nothing_to_trim() -> None:
    found = shown(ready("pentamidine 300 mg by nebulizer once, to 6 mL with sterile water", cup="cup-10"))
    assert list(found) == ["vial turned over"]
    assert rows(found["vial turned over"][0])[0]["Stays in it"] == "nothing, by its label"


def test_a_full_barrel_has_nothing_past_its_mark() -> None:
    full = ready("acetylcysteine 200 mg by nebulizer", VIAL, using=("syringe-1",))
    assert full.takes[0].draw is not None
    assert full.takes[0].draw.fills == (Fraction(1),)
    assert "past the mark, then trimmed" not in shown(full)


def test_an_oral_tip_gets_no_needle() -> None:
    """The engine draws no ampoule with one; a page that met one would leave the picture out."""
    plan = ready(EPINEPHRINE, AMPOULE)
    [take] = plan.takes
    assert take.draw is not None
    oral = replace(take.draw, instrument=load().instrument("syringe-1-oral"))
    assert "needle on the syringe" not in shown(replace(plan, takes=(replace(take, draw=oral),)))


def test_bottles_and_unit_doses_need_no_picture_beside_the_main_ones() -> None:
    assert shown(ready("albuterol 2.5 mg by nebulizer, made up to 3 mL", "albuterol-0.5pct-bottle-20ml")) == {}
    assert shown(ready("levalbuterol 0.63 mg by nebulizer", "levalbuterol-0.63mg-3ml")) == {}


def test_on_the_page_the_pictures_are_folded_at_their_steps_and_every_id_stands_once() -> None:
    page = post("epinephrine 5 mg by nebulizer once", cup="cup-6")
    steps = page[page.index('<section class="part steps">') :].partition("</section>")[0]
    assert steps.count("<summary>Picture: ") == 3
    assert steps.count("<details ") == 1 + 3 + steps.count("<summary>Around every preparation")
    assert "<details open" not in steps
    said = words(page)
    assert "Picture: ampoule tilted" in said
    assert "take it off before the drug leaves the syringe" in said
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))


def test_a_stop_shows_no_picture() -> None:
    stopped = made("albuterol 2.5 mg undiluted by nebulizer", "albuterol-0.5pct-bottle-20ml")
    assert stopped.status is Status.STOPPED
    assert shown(stopped) == {}
