"""The invented class: the same by the same seed, sound by every check that real records meet, and as wrong as was published."""

from collections import Counter
from datetime import datetime
from itertools import pairwise
from statistics import fmean, stdev

import pytest

from drawndose.lab.attempts.attempt import attempt_faults
from drawndose.lab.attempts.evidence import Held
from drawndose.lab.chance import Chance
from drawndose.lab.cohort import invented
from drawndose.lab.cohort.invented import afternoon
from drawndose.lab.cohort.people import LOST, OVER, SUM_RIGHT, UNDER, Pupil, pupils, watchers
from drawndose.lab.deciding.decide import decide
from drawndose.lab.tasks.draw_up import draw_up, task_again
from drawndose.lab.tasks.task import Difficulty
from drawndose.lab.tasks.template import template
from tests.lab.samples import NOON

DAY = afternoon("lab 7", NOON)
STEADY = Pupil(id="p", name="P", critical=1.0, other=1.0, label=1.0, notices=1.0, spread=0.05, lean=0.0)


def test_the_same_seed_gives_the_same_day_and_another_seed_another() -> None:
    assert afternoon("a", NOON, learners=2) == afternoon("a", NOON, learners=2)
    assert afternoon("a", NOON, learners=2).attempts != afternoon("b", NOON, learners=2).attempts
    with pytest.raises(ValueError, match="zone"):
        afternoon("a", datetime(2026, 3, 2))


def test_it_is_a_whole_class_with_four_evaluators() -> None:
    assert (len(DAY.pupils), len(DAY.watchers), len(DAY.attempts), len(DAY.decisions)) == (24, 4, 120, 120)
    assert len({one.name for one in DAY.pupils}) == 24
    assert pupils("x", 25)[24].name == f"{pupils('x', 25)[0].name} 2"
    seen = Counter(one.evaluator for tried in DAY.attempts for one in tried.sheets)
    assert len(seen) == 4
    assert sum(len(one.sheets) == 2 for one in DAY.attempts) == 30
    assert len({one.evaluators for one in DAY.attempts if len(one.sheets) == 2}) >= 6


def test_nobody_is_at_two_stations_at_once() -> None:
    for pupil in DAY.pupils:
        times = sorted((one.started, one.ended) for one in DAY.attempts if one.learner == pupil.id)
        assert all(before[1] <= after[0] for before, after in pairwise(times))


def test_every_record_is_sound_and_its_decision_is_the_rules() -> None:
    forms = {one.id: one for one in DAY.forms}
    for tried, decision in zip(DAY.attempts, DAY.decisions, strict=True):
        form = forms[tried.skill]
        assert attempt_faults(tried, form) == []
        assert decide(tried, form, DAY.rule, at=decision.at, by=decision.by) == decision
        assert task_again(tried.task, NOON).form == form.id
        assert DAY.true[tried.id] <= {one.id for one in form.shown}
    assert {one.outcome.value for one in DAY.decisions} == {"passed", "repeat"}


def test_what_an_evaluator_sees_is_near_what_was_done_and_the_lenient_one_sees_less() -> None:
    missed: Counter[str] = Counter()
    failed: Counter[str] = Counter()
    for seed in ("1", "2", "3"):
        day = afternoon(seed, NOON)
        for tried in day.attempts:
            for sheet in tried.sheets:
                for mark in sheet.marks:
                    if mark.step not in day.true[tried.id]:
                        failed[sheet.evaluator] += 1
                        missed[sheet.evaluator] += mark.point == "done"
    shares = {who: missed[who] / failed[who] for who in failed}
    assert max(shares, key=lambda who: shares[who]) == watchers()[3].id
    assert shares[watchers()[3].id] > 0.2


def drawn(pupil: Pupil, ident: str, count: int = 3000) -> list[float]:
    task = draw_up(template(ident), (0, 0, 0), NOON)
    chance = Chance("volumes", ident)
    return [invented._volume(chance, pupil, task) / float(task.key.volume_mL or 0) - 1 for _ in range(count)]


def test_volumes_are_under_more_often_than_over_and_spread_as_said() -> None:
    off = drawn(STEADY, "bottle-dropper")
    assert fmean(one < 0 for one in off) == pytest.approx(UNDER, abs=0.03)
    assert fmean(one > 0 for one in off) == pytest.approx(OVER, abs=0.03)
    assert fmean(one * one for one in off) ** 0.5 == pytest.approx(0.05 * (UNDER + OVER) ** 0.5, rel=0.06)


def test_a_needle_is_lost_rarely_and_only_where_there_is_one() -> None:
    off = drawn(STEADY, "ampoule-epinephrine")  # 0.07 mL of 0.4 mL is 17.5 %
    assert fmean(one < -0.15 for one in off) == pytest.approx(LOST * 0.8, abs=0.012)
    assert min(drawn(STEADY, "bottle-dropper")) > -0.25


def test_little_in_a_large_syringe_is_spread_twice_as_widely(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = stdev(drawn(STEADY, "bottle-dropper"))
    monkeypatch.setattr(invented, "SMALL", 2.0)
    assert stdev(drawn(STEADY, "bottle-dropper")) == pytest.approx(2 * usual, rel=0.08)


def test_sums_are_wrong_as_often_as_was_published() -> None:
    counts: Counter[tuple[Difficulty, bool]] = Counter()
    for ident in ("bottle-dropper", "bottle-syringe", "ampoule-terbutaline"):
        task = draw_up(template(ident), (0, 0, 0), NOON)
        chance = Chance("sums", ident)
        for _ in range(800):
            right = invented.answered(task, invented._sum(chance, task))
            counts[task.difficulty, right.held is Held.YES] += 1
            assert right.slip or right.held is Held.YES
    for level, share in SUM_RIGHT.items():
        assert counts[level, True] / 800 == pytest.approx(share, abs=0.06)


def test_without_wrong_ways_the_sum_is_right() -> None:
    task = draw_up(template("bottle-by-weight"), (0, 0, 0), NOON)
    assert task.key.worked is not None
    chance = Chance("weight")
    said = {invented.answered(task, invented._sum(chance, task)).held for _ in range(40)}
    assert said == ({Held.YES} if not task.key.worked.wrong_ways else {Held.YES, Held.NO})
