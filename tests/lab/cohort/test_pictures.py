"""The class as pictures: an invented afternoon, and classes that show nothing."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date, timedelta

import pytest

from drawndose.bench.drawing import Figure, alone
from drawndose.lab.attempts.attempt import Sheet
from drawndose.lab.cohort.invented import afternoon
from drawndose.lab.cohort.pictures import (
    board_of_class,
    compared,
    evaluators_of_class,
    line_of_learner,
    steps_of_class,
    volumes_of_class,
)
from drawndose.lab.cohort.rows import Cell, board, step_rows, volume_rows
from drawndose.lab.deciding.decide import Outcome, decide
from drawndose.lab.deciding.signoff import May, Standing, signed_off, who_may
from drawndose.quantities import Refused
from drawndose.science.statistics.charts import Sign
from tests.lab.samples import FORM, GOOD, NOON, RULE, attempt

DAY = afternoon("lab 7", NOON)
NAMES = {one.id: f"Learner {place}" for place, one in enumerate(DAY.pupils, start=1)}
SKILLS = {one.id: one.title for one in DAY.forms}
ONE = DAY.forms[0]


def whole(figure: Figure | None) -> dict[str, str]:
    assert figure is not None
    ET.fromstring(figure.svg)
    ET.fromstring(alone(figure, "night"))
    return dict(figure.rows)


@pytest.mark.parametrize("form", DAY.forms, ids=lambda one: one.id)
def test_the_step_map_counts_what_the_rows_count(form: object) -> None:
    figure = steps_of_class(DAY.attempts, form, "x")  # type: ignore[arg-type]
    told = list(whole(figure).values())
    by_step = {row.step.id: row for row in step_rows(DAY.attempts, form)}  # type: ignore[arg-type]
    for step, words in zip(form.shown, told, strict=True):  # type: ignore[attr-defined]
        row = by_step[step.id]
        assert words == (f"try 1: {row.failed} of {row.marked}" if row.marked else "try 1: not seen")


def test_every_weighed_volume_is_shown_by_name() -> None:
    shown = 0
    for form in DAY.forms:
        figure = volumes_of_class(DAY.attempts, form, "x", NAMES)
        if figure is not None:
            ET.fromstring(figure.svg)
            shown += len(figure.rows)
            assert all(name.startswith("Learner ") for name, _ in figure.rows)
    assert shown == len(volume_rows(DAY.attempts))


def test_evaluators_are_compared_on_what_two_scored() -> None:
    found = compared(DAY.attempts, ONE)
    assert found is not None
    who, gaps = found
    assert len(who) == len(gaps.overall) >= 2
    assert len(whole(evaluators_of_class(DAY.attempts, ONE, "x"))) == len(who)


def test_a_line_of_a_learner() -> None:
    learner = DAY.pupils[0].id
    told = whole(line_of_learner(DAY.decisions, learner, "x", NAMES))
    own = [one for one in DAY.decisions if one.learner == learner and one.outcome is not Outcome.OPEN]
    assert told["tries"] == str(len(own))
    assert told["failures"] == str(sum(not one.passed for one in own))
    assert line_of_learner([], "nobody", "x").name.startswith("CUSUM of nobody: not decided after 0")


def test_the_board_tells_what_stands_and_until_when() -> None:
    made = decide(attempt(), FORM, RULE, at=NOON + timedelta(hours=1), by="eva")
    signed = signed_off(made, RULE, by="mona", on=made.at.date())
    cells = board(["lea", "lou"], [FORM.id], [attempt()], [made])
    may = who_may(["lea", "lou"], [FORM.id], [signed], [made], date(2026, 12, 1))
    told = whole(board_of_class(cells, may, {FORM.id: "ampoule"}, "class", "x", {"lea": "Lea Sample"}))
    assert told == {"Lea Sample": f"ampoule: {Sign.PASSED.value}", "lou": f"ampoule: {Sign.NOT_BEGUN.value}"}


@pytest.mark.parametrize(
    ("outcome", "attempts", "standing", "sign"),
    [
        (Outcome.PASSED, 1, Standing.DUE, Sign.DUE),
        (Outcome.PASSED, 1, Standing.OVER, Sign.OVER),
        (Outcome.PASSED, 1, None, Sign.UNSIGNED),
        (Outcome.FAILED, 3, None, Sign.FAILED),
        (Outcome.REPEAT, 1, None, Sign.UNDER_WAY),
        (Outcome.OPEN, 1, None, Sign.UNDER_WAY),
        (None, 0, None, Sign.NOT_BEGUN),
    ],
)
def test_each_state_has_its_sign(outcome: Outcome | None, attempts: int, standing: Standing | None, sign: Sign) -> None:
    cell = Cell(learner="lea", skill="a", outcome=outcome, attempts=attempts)
    may = [May(person="lea", skill="a", standing=standing, until=None)]
    assert whole(board_of_class([cell], may, {"a": "ampoule"}, "class", "x"))["lea"] == f"ampoule: {sign.value}"


def test_a_class_that_shows_nothing() -> None:
    assert steps_of_class([], ONE, "x") is None
    assert volumes_of_class([], ONE, "x") is None
    assert evaluators_of_class([attempt()], FORM, "x") is None
    with pytest.raises(Refused):
        board_of_class([], [], {}, "class", "x")


def test_two_evaluators_of_whom_one_never_varies() -> None:
    tries = [
        attempt(id=f"a{place}", sheets=(Sheet(evaluator="eva", marks=GOOD), Sheet(evaluator="abe", marks=GOOD[:2])))
        for place in range(3)
    ]
    told = whole(evaluators_of_class(tries, FORM, "x"))
    assert set(told) == {"abe", "eva"}
    old = replace(attempt(), form_version="0" * 64)
    assert steps_of_class([old], FORM, "x") is None
