"""What a plan is made with: shut containers that count together, and what the preparer answers where the order leaves it open."""

from __future__ import annotations

from datetime import date

import pytest

from drawndose.quantities import Refused
from tests.department.scene import BOTTLE, SALINE, order, planned, received, scene

pytestmark = pytest.mark.usefixtures("storage")

AMPOULE, RACEMIC = "epinephrine-1mg-1ml-ampoule", "racepinephrine-11.25mg-0.5ml"
VIAL, WATER = "colistimethate-150mg-vial", "sterile-water-unit-dose"


def begun(text: str):
    from drawndose.department.work import preparing

    on = scene()
    return on, preparing.begin(order(on, text), by=on.ana)


def test_shut_containers_of_two_lots_make_one_dose() -> None:
    from drawndose.department.work import preparing

    on, made = begun("epinephrine 5 mg by nebulizer once")
    first = [received(on, AMPOULE, "1 mL") for _ in range(3)]
    later = [received(on, AMPOULE, "1 mL", lot="9B7", expiry=date(2098, 1, 31)) for _ in range(2)]
    few = preparing.choose(made, first + later[:1], [], "cup-6", by=on.ana, version=made.version)
    assert few.status.value == "stopped"
    made.refresh_from_db()
    assert made.state == "begun"
    found = preparing.choose(made, first + later, [], "cup-6", by=on.ana, version=made.version)
    assert (found.status.value, found.takes[0].containers) == ("ready", 5)
    preparing.drawn(made, ["5 mL"], by=on.ana, version=made.version)
    assert made.draw_set.count() == 5
    for one in first + later:
        one.refresh_from_db()
        assert (one.state, one.left_nl) == ("emptied", 0)


def test_the_earliest_day_of_several_counts() -> None:
    from drawndose.department.work import preparing
    from drawndose.department.work.models import Container

    on, made = begun("epinephrine 5 mg by nebulizer once")
    ampoules = [received(on, AMPOULE, "1 mL") for _ in range(5)]
    Container.objects.filter(pk=ampoules[3].pk).update(expiry=date(2020, 1, 31))
    found = preparing.choose(made, ampoules, [], "cup-6", by=on.ana, version=made.version)
    assert "31 Jan 2020" in found.findings[0].says


def test_what_the_preparer_answers_is_kept_with_the_plan() -> None:
    from drawndose.department.work import preparing

    on, made = begun("racepinephrine 0.5 mL of 2.25 % by nebulizer once")
    have = [received(on, RACEMIC, "0.5 mL"), received(on, SALINE, "3 mL")]
    asked = preparing.choose(made, have, [], "cup-6", by=on.ana, version=made.version)
    (question,) = [one for one in asked.questions if one.blocking]
    assert question.options == ("made up to 3 mL", "made up to 5 mL")
    answers = {"fill": "made up to 3 mL"}
    found = preparing.choose(made, have, [], "cup-6", by=on.ana, version=made.version, answers=answers)
    assert found.fill is not None
    assert (found.status.value, found.fill.total) == ("ready", 3)
    assert made.chosen["answers"] == answers
    again = preparing.plan_of(made)
    assert (again.fill, again.order.text) == (found.fill, "racepinephrine 0.5 mL of 2.25 % by nebulizer once")


def test_an_equivalence_is_answered_by_its_own_option() -> None:
    from drawndose.department.work import preparing

    on, made = begun("colistimethate 1 million units by nebulizer twice daily to 3 mL with normal saline")
    have = [received(on, VIAL, "150 mg"), received(on, SALINE, "3 mL"), received(on, WATER, "3 mL")]
    asked = preparing.plan_of(made, preparing.picked(have, [], "cup-6"))
    (question,) = [one for one in asked.questions if one.blocking]
    answers = {"equivalence": question.options[0]}
    told = preparing.plan_of(made, preparing.picked(have, [], "cup-6", answers=answers))
    assert told.policy.equivalences == ("expert-society",)
    assert [one.field for one in told.questions if one.blocking] == []


def test_an_answer_never_takes_the_place_of_what_the_order_says() -> None:
    from drawndose.department.work import preparing

    on, made = begun("albuterol 2.5 mg by nebulizer, made up to 3 mL with sodium chloride 0.9 %, every 4 hours")
    have = [received(on, BOTTLE, "20 mL"), received(on, SALINE, "3 mL")]
    answers = {"fill": "made up to 5 mL", "diluent": "with sterile water"}
    found = preparing.plan_of(made, preparing.picked(have, [], "cup-6", answers=answers))
    assert found.fill is not None
    assert (found.fill.total, found.fill.diluent) == (3, "sodium chloride 0.9 %")


def test_a_plan_made_again_begins_its_steps_anew() -> None:
    from drawndose.department.work import preparing
    from drawndose.department.work.models import Preparation

    made, bottle, saline = planned(scene())
    Preparation.objects.filter(pk=made.pk).update(steps_done=[{"step": 1}])
    preparing.choose(made, [bottle, saline], [], "cup-6", by=made.by, version=made.version)
    assert made.steps_done == []


def test_what_was_emptied_meanwhile_is_not_there_any_more() -> None:
    from drawndose.department.work import preparing, shelf

    made, bottle, _ = planned(scene())
    shelf.open_it(bottle, by=made.by, version=bottle.version)
    shelf.empty(bottle, by=made.by, version=bottle.version)
    with pytest.raises(Refused, match="no longer holds"):
        preparing.drawn(made, ["0.5 mL"], by=made.by, version=made.version)
    assert preparing.plan_of(made).status.value == "ready"
    assert preparing.plan_of(made, live=True).status.value == "stopped"


IPRATROPIUM = "ipratropium-500mcg-2.5ml"


@pytest.mark.parametrize(
    ("allergies", "text", "product", "pack", "status", "rule"),
    [
        ("benzalkonium", "albuterol 2.5 mg by nebulizer, made up to 3 mL, once", BOTTLE, "20 mL", "stopped", "excipient-and-allergy"),
        ("EDTA", "albuterol 2.5 mg by nebulizer, made up to 3 mL, once", BOTTLE, "20 mL", "ready", ""),
        ("EDTA", "budesonide 0.5 mg by nebulizer once", "budesonide-0.5mg-unit-dose-2ml", "2 mL", "stopped", "excipient-and-allergy"),
        ("sulfites", "albuterol 2.5 mg by nebulizer, made up to 3 mL, once", BOTTLE, "20 mL", "ready", ""),
        ("soya lecithin, peanuts", "ipratropium 0.5 mg by nebulizer once", IPRATROPIUM, "2.5 mL", "ready", "allergy-does-not-bar"),
        ("atropine", "ipratropium 0.5 mg by nebulizer once", IPRATROPIUM, "2.5 mL", "stopped", "class-and-allergy"),
        ("beta agonists", "albuterol 2.5 mg by nebulizer, made up to 3 mL, once", BOTTLE, "20 mL", "ready", "class-and-allergy"),
        ("latex", "albuterol 2.5 mg by nebulizer, made up to 3 mL, once", BOTTLE, "20 mL", "ready", "allergy-not-checked"),
    ],
)  # fmt: skip
def test_what_the_record_says_of_allergies_is_held_against_drug_class_and_excipients(
    allergies: str, text: str, product: str, pack: str, status: str, rule: str
) -> None:
    """The order's words name none of them: what the patient's record says reaches the plan of the sheet."""
    from drawndose.department.work import patients, preparing

    on = scene()
    patients.set_allergies(on.patient, allergies, none_known=False, by=on.ana, version=on.patient.version)
    made = preparing.begin(order(on, text), by=on.ana)
    have = [received(on, product, pack), received(on, SALINE, "3 mL")]
    found = preparing.choose(made, have, [], "cup-6", by=on.ana, version=made.version)
    assert found.status.value == status, [one.says for one in found.findings]
    spoke = {one.rule for one in found.findings if "allerg" in one.rule}
    assert spoke == ({rule} if rule else set())


def test_the_plan_of_a_sheet_is_worked_once_and_anew_when_anything_that_it_is_made_of_changes() -> None:
    from drawndose.department.work import planning
    from drawndose.department.work.policy import choose

    on = scene()
    made, _, _ = planned(on)
    planning._planned.cache_clear()
    first = planning.plan_of(made)
    assert planning.plan_of(made) is first
    choose("start_within", "60 min", reason="as the wall says", by=on.cleo)
    second = planning.plan_of(made)
    assert second is not first
    assert second.policy.start_within == first.policy.start_within  # equal, and written otherwise
    assert {one.text for one in second.label} >= {one.text for one in first.label if "mL" in one.text}
