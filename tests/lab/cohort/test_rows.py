"""Rows over a class: the whole, a class of one, all passed, an evaluator who never varies, an attempt on an outdated form."""

from dataclasses import replace
from datetime import timedelta

import pytest

from drawndose.lab.attempts.attempt import Sheet
from drawndose.lab.attempts.marks import Mark
from drawndose.lab.cohort.invented import afternoon
from drawndose.lab.cohort.rows import (
    DONE,
    NOT_DONE,
    Action,
    agreement_rows,
    board,
    seen,
    set_aside,
    step_rows,
    step_table,
    volume_rows,
)
from drawndose.lab.deciding.decide import Outcome, changed, decide
from drawndose.science.statistics.estimable import NotEstimable
from drawndose.science.statistics.items import Missing, item_analysis
from tests.lab.samples import FORM, GOOD, NOON, RULE, attempt, mark, marked

DAY = afternoon("lab 7", NOON)
LATER = NOON + timedelta(hours=1)


def both(first: tuple[Mark, ...], second: tuple[Mark, ...], ident: str = "a1"):  # type: ignore[no-untyped-def]
    return attempt(id=ident, sheets=(Sheet(evaluator="eva", marks=first), Sheet(evaluator="abe", marks=second)))


def test_the_board_has_a_cell_for_everybody() -> None:
    cells = board([one.id for one in DAY.pupils], [one.id for one in DAY.forms], DAY.attempts, DAY.decisions)
    assert len(cells) == 120
    assert {one.attempts for one in cells} == {1}
    assert all(one.outcome is not None for one in cells)
    assert board(["lou"], ["x"], DAY.attempts, DAY.decisions)[0].outcome is None
    assert board(["lou"], ["x"], DAY.attempts, DAY.decisions)[0].attempts == 0


def test_the_board_shows_the_decision_that_stands() -> None:
    made = decide(attempt(), FORM, RULE, at=LATER, by="eva")
    again = changed(made, Outcome.REPEAT, by="mona", why="w", at=LATER)
    assert board(["lea"], ["ampoule"], [attempt()], [again, made])[0].outcome is Outcome.REPEAT
    (cell,) = board(["lea"], ["ampoule"], [attempt(id="a2", number=2), attempt()], [again, made])
    assert (cell.outcome, cell.attempts) == (None, 2)  # the last one is not decided, whatever the first one was


def test_a_step_is_done_not_done_or_not_marked() -> None:
    marks = (mark(1, "hands", "not done"), mark(2, "read", "1"), mark(3, "record", "1"))
    assert seen(Sheet(evaluator="e", marks=marks), FORM) == {
        "hands": NOT_DONE,
        "snap-away": None,
        "read": DONE,
        "record": NOT_DONE,
    }


def test_the_step_that_fails_most_comes_first_with_its_interval() -> None:
    rows = step_rows([attempt(*marked(2, "0"), id="a"), attempt(id="b"), attempt(GOOD[0], id="c")], FORM)
    assert (rows[0].step.id, rows[0].marked, rows[0].failed, rows[0].share) == ("read", 2, 1, 0.5)
    assert rows[0].low is not None
    assert 0 < rows[0].low < 0.5 < (rows[0].high or 0) < 1
    nobody = step_rows([], FORM)[0]
    assert (nobody.marked, nobody.share, nobody.low) == (0, None, None)


def test_an_attempt_on_another_version_is_named_and_not_counted() -> None:
    newer = replace(FORM, title="Newer", edition=2)
    assert step_rows([attempt()], newer)[0].marked == 0
    assert set_aside([attempt()], newer)[0].startswith("Attempt 1 was marked on version")
    assert set_aside([attempt()], FORM) == ()
    assert agreement_rows([both(GOOD, GOOD)], [newer]) == ()


def test_a_class_of_one_and_a_class_where_all_passed_give_reasons_and_not_numbers() -> None:
    one = item_analysis(step_table([attempt()], FORM), missing=Missing.AS_FAIL)
    assert isinstance(one.items[0].plain, NotEstimable)
    passed = item_analysis(step_table([attempt(id=str(n)) for n in range(5)], FORM), missing=Missing.AS_FAIL)
    assert all(isinstance(item.plain, NotEstimable) for item in passed.items)
    assert step_table([attempt(GOOD[0])], FORM) == ((1.0, None, None, None),)


def test_a_rater_who_never_varies_has_no_kappa() -> None:
    (row,) = agreement_rows([both(GOOD, marked(0, "not done")), both(GOOD, GOOD, "a2")], [FORM])
    assert (row.first, row.second, row.attempts) == ("abe", "eva", 2)
    assert isinstance(row.measures.beyond.kappa, NotEstimable)
    assert row.measures.observed == 7 / 8
    assert row.otherwise == (("Ampoule, step 1", 1),)


def test_little_agreement_asks_for_an_action() -> None:
    apart = (mark(1, "hands", "not done"), mark(2, "snap-away", "not done"), *GOOD[2:])
    (row,) = agreement_rows([both(GOOD, apart)], [FORM])
    assert row.wanted.startswith("They marked 50 % of the steps alike, under 80 %")
    (failing,) = agreement_rows(
        [both(GOOD, GOOD, str(n)) for n in range(3)] + [both(GOOD, marked(0, "not done"))], [FORM]
    )
    assert failing.wanted.startswith("Of the steps that either saw fail they agree on 0 %")
    (alike,) = agreement_rows([both(GOOD, GOOD)], [FORM])
    assert alike.wanted == ""
    (nothing,) = agreement_rows([both((), GOOD)], [FORM])
    assert (nothing.wanted, nothing.measures.count) == ("", 0)
    assert (
        Action(first="abe", second="eva", found=row.wanted, done="watched together", by="mona", on="2026-03-03").by
        == "mona"
    )


def test_the_whole_day_has_pairs_volumes_and_steps() -> None:
    rows = agreement_rows(DAY.attempts, DAY.forms)
    assert sum(one.attempts for one in rows) == 30
    assert all(0.5 < one.measures.observed <= 1 for one in rows)
    volumes = volume_rows(DAY.attempts)
    assert len(volumes) == sum(one.evidence.weighed is not None for one in DAY.attempts) > 50
    assert max(abs(one.off) for one in volumes) < 0.5
    assert volumes[0].off == pytest.approx(volumes[0].mL / volumes[0].target_mL - 1)
    assert volume_rows([attempt()])[0].held == "yes"
