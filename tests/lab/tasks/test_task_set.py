"""A set: by seed, balanced, neighbours apart, and the supplies that its tasks need."""

from collections import Counter
from datetime import datetime
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose.lab.tasks.supplies import stations, supplies, whole_list, with_spares
from drawndose.lab.tasks.task import Difficulty, TaskKind
from drawndose.lab.tasks.task_set import KINDS, numbers, task_set
from drawndose.lab.tasks.template import read_template, template, templates
from drawndose.quantities import Refused
from drawndose.reference import Container
from tests.lab.samples import NOON

SET = task_set("lab 7", 24, NOON)


def test_the_same_seed_gives_the_same_set_and_another_seed_another() -> None:
    assert task_set("lab 7", 24, NOON) == SET
    assert task_set("lab 8", 24, NOON) != SET


@settings(max_examples=15, deadline=None)
@given(st.text("abcdefgh 0123456789", min_size=1, max_size=12).filter(str.strip), st.integers(1, 60))
def test_balance_and_neighbours(seed: str, learners: int) -> None:
    made = task_set(seed, learners, NOON)
    assert [one.place for one in made.seats] == list(range(1, learners + 1))
    for kind in KINDS:
        prepared = made.of_kind(kind, TaskKind.PREPARE)
        assert len(prepared) == learners
        counts = Counter(one.difficulty for one in prepared)
        levels = 2 if kind is Container.GLASS_AMPOULE else 3
        assert max(counts.values()) - min([*counts.values(), *([0] if len(counts) < levels else [])]) <= 1
        assert [one for one, after in pairwise(prepared) if numbers(one) & numbers(after)] == []
    for kind in KINDS:
        met = [(seat.place, one) for seat in made.seats for one in seat.tasks if one.container is kind]
        for place, one in met:
            for other_place, other in met:
                if one is not other and abs(place - other_place) <= 1:
                    assert not numbers(one) & numbers(other), (place, one.order, other_place, other.order)
    stopped = Counter(one.container for kind in KINDS for one in made.of_kind(kind, TaskKind.STOP))
    assert sum(stopped.values()) == learners
    assert max(stopped.values()) - min(stopped[kind] for kind in KINDS) <= 1


def test_every_task_to_stop_at_has_its_turn() -> None:
    stopped = {one.template for kind in KINDS for one in task_set("all", 60, NOON).of_kind(kind, TaskKind.STOP)}
    assert stopped == {one.id for one in templates() if one.kind is TaskKind.STOP}


def test_a_learner_cannot_tell_from_the_place_which_is_to_stop() -> None:
    places = {[one.kind for one in seat.tasks].index(TaskKind.STOP) for seat in task_set("place", 40, NOON).seats}
    assert places == {0, 1, 2, 3, 4}


def test_some_kinds_only_and_no_stops() -> None:
    made = task_set("x", 3, NOON, kinds=[Container.GLASS_AMPOULE], stops=False)
    assert [len(seat.tasks) for seat in made.seats] == [1, 1, 1]
    assert [one.title for one in stations(made)] == ["Glass ampoule"]


def test_everything_wrong_is_told_at_once() -> None:
    with pytest.raises(Refused) as caught:
        task_set(" ", 0, NOON, kinds=[Container.BULK])
    assert [one.field for one in caught.value.faults] == ["seed", "learners", "containers"]
    with pytest.raises(Refused, match="none"):
        task_set("s", 201, NOON, kinds=[])
    with pytest.raises(ValueError, match="zone"):
        task_set("s", 1, datetime(2026, 3, 2))


def test_too_few_numbers_are_refused_and_not_repeated() -> None:
    one = template("unit-ready")
    with pytest.raises(Refused, match=r"too few different numbers.*Came: \"place 2\""):
        task_set("s", 2, NOON, kinds=[Container.PLASTIC_UNIT_DOSE], made_of=[one], stops=False)
    unsound = read_template({**one.data, "tolerance": "10 %", "strength": "5 mg in 3 mL"})
    with pytest.raises(Refused, match=r"Came: \"place 1\""):
        task_set("s", 2, NOON, kinds=[Container.PLASTIC_UNIT_DOSE], made_of=[unsound], stops=False)


def test_numbers_are_the_dose_and_what_is_measured() -> None:
    whole = next(one for one in SET.of_kind(Container.PLASTIC_UNIT_DOSE, TaskKind.PREPARE) if not one.key.measured)
    assert len(numbers(whole)) == 1
    stop = next(one for kind in KINDS for one in SET.of_kind(kind, TaskKind.STOP) if one.template == "stop-no-dose")
    assert numbers(stop) == frozenset()
    assert set(Difficulty) == {one.difficulty for one in SET.of_kind(Container.STOPPERED_VIAL)}


def test_supplies_are_counted_from_the_tasks_with_spares() -> None:
    table = {one.container: one for one in stations(SET)}
    assert [one.number for one in table.values()] == [1, 2, 3, 4]
    ampoule = table[Container.GLASS_AMPOULE]
    count = {one.what: one.count for one in ampoule.supplies}
    terbutaline = sum(
        one.plan.takes[0].containers for one in ampoule.tasks if one.plan.takes and "terbutaline" in one.order
    )
    assert count["terbutaline sulfate 1 mg per mL injection (1 mL)"] >= with_spares(terbutaline)
    assert count["gauze"] == count["filter needle"] == with_spares(len(ampoule.tasks))
    assert count["sharps container"] == 1
    assert "drawing needle" not in count
    vials = {one.what: one for one in table[Container.STOPPERED_VIAL].supplies}
    assert vials["drawing needle"].count == with_spares(len(table[Container.STOPPERED_VIAL].tasks))
    drawn = sum(
        one.plan.takes[0].drawn_from_container
        for one in table[Container.STOPPERED_VIAL].tasks
        if one.plan.takes and one.stand.drug.presentation.id == "acetylcysteine-10pct"
    )
    assert vials["acetylcysteine 10 % solution, vial (10 mL)"].count == with_spares(-(-drawn // 10))


def test_every_drug_is_water_that_says_so() -> None:
    for one in whole_list(SET):
        assert (one.simulated == "water, labelled so and FOR TRAINING ONLY") is (" mL)" in one.what), one.what


def test_what_is_to_stop_at_is_laid_out_with_its_flaw() -> None:
    laid = {one.what for one in whole_list(task_set("all", 60, NOON))}
    assert "albuterol 0.5 % solution, dropper bottle (20 mL), expired" in laid
    assert "acetylcysteine 20 % solution, vial (10 mL), opened and undated" in laid
    assert not any("incomplete" in one for one in laid)


def test_the_whole_list_adds_the_stations() -> None:
    cups = sum(item.count for one in stations(SET) for item in one.supplies if item.what == "nebulizer cup")
    assert {one.what: one.count for one in whole_list(SET)}["nebulizer cup"] == cups
    assert with_spares(0) == 0
    assert supplies([])[0].what == "sharps container"


def test_the_evaluator_is_told_of_glass_only_where_there_is_glass() -> None:
    told = {one.container: " ".join(one.tells) for one in stations(SET)}
    assert [kind for kind, words in told.items() if "Glass is real" in words] == [Container.GLASS_AMPOULE]


def test_a_task_to_stop_at_that_would_give_away_a_number_is_refused() -> None:
    few = [
        template(one) for one in ("unit-ready", "unit-ready-levalbuterol", "unit-ready-ipratropium", "stop-wrong-unit")
    ]
    with pytest.raises(Refused, match=r"too few different numbers.*Came: \"place [12]\""):
        task_set("s", 3, NOON, kinds=[Container.PLASTIC_UNIT_DOSE], made_of=few)
    assert len(task_set("s", 3, NOON, kinds=[Container.PLASTIC_UNIT_DOSE], made_of=few[:3]).seats[0].tasks) == 1
