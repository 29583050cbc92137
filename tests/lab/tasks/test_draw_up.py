"""Every shipped task is sound by the engine itself, its key is the engine's plan, and it can be made again from its id."""

from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

import pytest

from drawndose.bench.findings import Level
from drawndose.bench.labels import TO_WRITE
from drawndose.bench.plans import Status
from drawndose.lab.forms.shipped import shipped_form
from drawndose.lab.tasks import draw_up as module
from drawndose.lab.tasks.constraints import against, wrong_volumes
from drawndose.lab.tasks.draw_up import PEOPLE, draw_up, task_again
from drawndose.lab.tasks.task import Flaw, TaskKind
from drawndose.lab.tasks.template import Template, read_template, template, templates
from drawndose.quantities import Refused
from tests.lab.samples import NOON

EVERY = [(one, pick) for one in templates() for pick in one.picks]
PREPARED = [(one, pick) for one, pick in EVERY if one.kind is TaskKind.PREPARE]
STOPS = [one for one in templates() if one.kind is TaskKind.STOP]


def named(pair: tuple[Template, tuple[int, int, int]]) -> str:
    return f"{pair[0].id}-{'-'.join(map(str, pair[1]))}"


def changed(ident: str, *, row: dict[str, object] | None = None, **parts: object) -> tuple[str, ...]:
    """What is against a shipped template's first task when something in it is changed."""
    data = {key: one for key, one in {**template(ident).data, **parts}.items() if one is not None}
    if row is not None:
        data["row"] = [{**data["row"][0], **row}]  # type: ignore[index]
    made = read_template(data)
    return against(draw_up(made, (0, 0, 0), NOON), made, made.rows[0])


@pytest.mark.parametrize("pair", EVERY, ids=named)
def test_every_shipped_task_is_sound(pair: tuple[Template, tuple[int, int, int]]) -> None:
    made, pick = pair
    task = draw_up(made, pick, NOON)
    assert against(task, made, made.rows[pick[0]]) == ()
    assert task_again(task.id, NOON) is task
    assert shipped_form(task.form).container in {task.container, None}
    assert made.flaw.value not in task.title.lower()


@pytest.mark.parametrize("pair", PREPARED, ids=named)
def test_a_key_is_the_engines_plan(pair: tuple[Template, tuple[int, int, int]]) -> None:
    task = draw_up(*pair, NOON)
    take, key = task.plan.takes[0], task.key
    assert task.plan.status is Status.READY
    assert (key.volume_mL, key.whole, key.label) == (take.volume, take.whole, task.plan.label)
    assert key.measured is (take.draw is not None)
    assert key.worked is not None
    assert key.worked.answer.to("mL").value == key.volume_mL
    assert key.working
    if take.draw is None:
        assert (key.tolerance_mL, key.instrument, key.reading) == (None, "", "")
        assert key.says.startswith("Empty the whole unit; add ")
    else:
        assert key.tolerance_mL == task.tolerance * take.volume >= take.draw.error
        assert key.says.startswith("Draw ")
        assert key.reading == take.draw.reading
    assert {line.name for line in key.label} >= {"dose", "route", "person"}
    assert any(TO_WRITE in line.text for line in key.label)


@pytest.mark.parametrize("pair", PREPARED, ids=named)
def test_no_wrong_way_leads_to_the_key(pair: tuple[Template, tuple[int, int, int]]) -> None:
    made, pick = pair
    task = draw_up(made, pick, NOON)
    wrong = dict(wrong_volumes(task, made, made.rows[pick[0]]))
    assert {"inverted", "dose given as volume"} <= wrong.keys()
    assert all(abs(one - task.key.volume_mL) > task.tolerance * task.key.volume_mL for one in wrong.values())


@pytest.mark.parametrize("made", STOPS, ids=lambda one: one.id)
def test_the_engine_itself_stops_and_says_why(made: Template) -> None:
    for pick in made.picks:
        task = draw_up(made, pick, NOON)
        assert task.plan.status is (Status.ASK if made.flaw is Flaw.INCOMPLETE else Status.STOPPED)
        assert task.plan.takes == ()
        assert (task.key.rule, task.flaw) == (made.stops_by, made.flaw)
        assert task.key.says == f"Stop. {task.key.why}"
        assert task.key.why
        assert task.key.do
        assert (task.key.volume_mL, task.key.worked) == (None, None)


@pytest.mark.parametrize("made", [one for one in STOPS if one.flaw.on_container], ids=lambda one: one.id)
def test_without_its_flaw_the_same_card_can_be_prepared(made: Template, monkeypatch: pytest.MonkeyPatch) -> None:
    sound = module._condition(Flaw.NONE, NOON)
    monkeypatch.setattr(module, "_condition", lambda flaw, at: sound)
    twin = read_template({**made.data, "title": "twin"})
    task = draw_up(twin, twin.picks[0], NOON)
    assert task.plan.status is Status.READY
    assert against(task, twin, twin.rows[0]) == ("the engine makes a plan of it, so stopping is not the right answer",)


def test_a_wrong_container_is_named_as_what_it_is() -> None:
    for ident, name in (
        ("stop-wrong-bottle", "Albuterol 0.5 % solution, dropper bottle"),
        ("stop-wrong-unit", "Levalbuterol 1.25 mg concentrate, unit dose"),
    ):
        key = draw_up(template(ident), (0, 0, 0), NOON).key
        assert key.why == f"{name} is another drug."
        assert key.do.startswith("Put a container of ")
        assert key.do.endswith(" on the bench.")


def test_the_four_that_every_set_must_have_are_there() -> None:
    assert {Flaw.WRONG_CONTAINER, Flaw.EXPIRED, Flaw.UNDATED, Flaw.INCOMPLETE} <= {one.flaw for one in STOPS}


def test_dates_are_laid_around_the_moment() -> None:
    made = template("stop-expired-bottle")
    for at in (NOON, NOON + timedelta(days=4000)):
        task = draw_up(made, (0, 0, 0), at)
        assert task.plan.findings[0].rule == "past-printed-expiry"
        assert task.stand.diluent is not None
        assert task.stand.diluent.condition.expiry > at.date()  # type: ignore[union-attr, operator]
    owned = draw_up(template("stop-another-persons-bottle"), (0, 0, 0), NOON)
    assert owned.person == PEOPLE[0] != owned.stand.drug.condition.owner  # type: ignore[union-attr]
    with pytest.raises(ValueError, match="zone"):
        draw_up(made, (0, 0, 0), datetime(2026, 3, 2))


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"row": {"dose": "5 mg"}}, "the wrong way inverted leads to 1 mL, inside the tolerance of 1 mL"),
        ({"row": {"dose": "1.25 mg"}}, "the diluent has no line: The diluent needs 2.75 mL"),
        ({"row": {"dose": "2.6 mg"}}, "the engine makes no plan of it: "),
        ({"tolerance": "14 %"}, "the tolerance of 0.07 mL is narrower than the 0.075 mL that the instrument may err"),
        ({"strength": "0.25 %"}, "the label says 0.5 % (5 mg/mL), the sum 0.25 %"),
        ({"strength": "0.25 %"}, "the learner's sum gives Quantity(1 mL), the plan 0.5 mL"),
        (
            {"order": "albuterol {dose} by nebulizer, made up to 12 mL, {often}"},
            "the engine makes no plan of it: stopped",
        ),
    ],
)
def test_what_would_not_teach_is_not_set(changes: dict[str, object], reason: str) -> None:
    found = changed("bottle-dropper", **changes)
    assert [one for one in found if one.startswith(reason)], found


@pytest.mark.parametrize(
    ("ident", "changes", "reason"),
    [
        ("bottle-syringe", {"row": {"dose": "0.75 mg"}}, "0.15 mL is less than 20 % of the 1 mL syringe, oral tip"),
        ("bottle-by-weight", {"allows": []}, "caution second-check-needed: "),
        ("ampoule-epinephrine", {"row": {"dose": "0.5 mg"}}, "the wrong way dose given as volume leads to 0.5 mL"),
        (
            "unit-ready",
            {
                "order": "albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer, {often}",
                "drug": "ipratropium-0.5mg-albuterol-2.5mg-3ml",
            },
            "the order is for 2 drugs; a task has one",
        ),
        ("vial-ten-percent", {"drug_pack": "4 mL", "row": {"dose": "500 mg"}}, "5 mL is more than the 4 mL that one"),
        (
            "vial-diluted",
            {
                "order": "glycopyrrolate {dose} in sodium chloride 0.9 % by nebulizer, made up to {fill}, once",
                "drug": "glycopyrrolate-0.2mg-per-ml-injection",
                "drug_pack": "1 mL",
                "measures": ["syringe-1", "syringe-3", "syringe-3-oral"],
                "row": {"dose": "10 mcg"},
            },
            "it needs a first dilution",
        ),
        (
            "stop-expired-bottle",
            {"stops_by": "opened-undated"},
            "the engine stops by past-printed-expiry, not by opened-undated",
        ),
        ("stop-wrong-bottle", {"stops_by": "dose"}, "the engine stops by having no way, not by dose"),
        ("stop-no-dose", {"stops_by": None}, "the engine stops by dose, not by having no way"),
        ("stop-no-dose", {"stops_by": None}, "only a wrong container leaves the engine without a way"),
    ],
)
def test_other_templates_are_held_to_the_same(ident: str, changes: dict[str, object], reason: str) -> None:
    found = changed(ident, **changes)
    assert [one for one in found if reason in one], found


def test_a_task_to_stop_at_has_one_fault_and_not_two(monkeypatch: pytest.MonkeyPatch) -> None:
    bad = replace(module._condition(Flaw.EXPIRED, NOON), undated=True)
    monkeypatch.setattr(module, "_condition", lambda flaw, at: bad)
    twin = read_template({**template("stop-expired-bottle").data, "title": "twin"})
    (told,) = [one for one in against(draw_up(twin, (0, 0, 0), NOON), twin, twin.rows[0]) if "more than one" in one]
    assert told == "the engine stops by more than one rule: past-printed-expiry, opened-undated"


def test_an_id_is_made_again_or_refused() -> None:
    made = template("bottle-dropper")
    good = f"bottle-dropper.{made.version[:8]}.0-0-1"
    assert task_again(good, NOON).order.endswith("every 4 hours")
    for ident, rule in (
        ("bottle-dropper", "this is no id of a task"),
        (good.replace("0-0-1", "0-x-1"), "this is no id of a task"),
        (good.replace("0-0-1", "9-9-9"), "the template makes no such task"),
        ("bottle-dropper.00000000.0-0-0", "the template is of another version now"),
        (good.replace("bottle-dropper", "box"), "no template of this id comes with the house"),
    ):
        with pytest.raises(Refused, match=rule):
            task_again(ident, NOON)


def test_a_size_that_is_not_made_is_refused() -> None:
    made = read_template({**template("bottle-dropper").data, "drug_pack": "21 mL"})
    with pytest.raises(Refused, match=r"not made in this size.*Accepted: 20 mL"):
        draw_up(made, (0, 0, 0), NOON)


def test_everything_wrong_with_a_template_is_told_at_once() -> None:
    data = {**template("bottle-dropper").data, "kind": "stop", "tolerance": "0.5 mL", "row": [], "colour": "red"}
    with pytest.raises(Refused) as caught:
        read_template(data)
    assert [one.field for one in caught.value.faults] == [
        "bottle-dropper.colour",
        "bottle-dropper",
        "bottle-dropper.flaw",
        "bottle-dropper.tolerance",
    ]
    with pytest.raises(Refused, match="tolerance"):
        read_template({key: value for key, value in template("bottle-dropper").data.items() if key != "tolerance"})


def test_only_notes_stand_against_a_task_but_what_its_template_allows() -> None:
    for one, pick in PREPARED:
        graver = {found.rule for found in draw_up(one, pick, NOON).plan.findings if found.level is not Level.NOTE}
        assert graver <= set(one.allows)
    assert replace(template("bottle-dropper").rows[0], weight="").difficulty.value == "plain"
    assert template("bottle-dropper").tolerance == Fraction(15, 100)
