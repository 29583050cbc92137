"""What the page of a class shows: a cell for each learner and skill, with its words, its sign, and the picture of all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from drawndose.bench.drawing import Figure
from drawndose.department.training.forms import titles
from drawndose.department.training.models import Attempt, Cohort, Decision, Learner, SignOff
from drawndose.department.training.signoffs import counting
from drawndose.department.training.states import DECIDED
from drawndose.lab.cohort.pictures import board_of_class, sign_of
from drawndose.lab.cohort.rows import Cell as LabCell
from drawndose.lab.deciding.decide import Outcome
from drawndose.lab.deciding.signoff import May, standing_on


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One learner and one skill: how the last try stands, how many there were, its key or None; sign: as on the picture, in words."""

    skill: str
    title: str
    word: str
    tries: int
    last: int | None
    sign: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardRow:
    """A learner with each skill."""

    learner: Learner
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """Who stands where: the skills, a row for each learner, and their picture; None while nobody is in the class."""

    skills: tuple[str, ...]
    rows: tuple[BoardRow, ...]
    picture: Figure | None


def board_of(cohort: Cohort, today: date) -> Board:
    """The board of a class, with the sign-offs as they stand today."""
    words = titles()
    tried: dict[tuple[int, str], list[Attempt]] = {}
    rows = Attempt.objects.filter(learner__cohort=cohort).exclude(state="broken off").order_by("number")
    for one in rows:
        tried.setdefault((one.learner_id, one.skill), []).append(one)
    made = dict(
        Decision.objects.filter(attempt__learner__cohort=cohort, state="stands").values_list("attempt_id", "outcome")
    )
    used = [skill for skill in words if any(key[1] == skill for key in tried)] or list(words)
    learners = list(cohort.learner_set.order_by("number"))
    may = _may(cohort, today)
    held = {(one.person, one.skill): one.standing for one in may}
    found, drawn = [], []
    for learner in learners:
        cells = []
        for skill in used:
            tries = tried.get((learner.pk, skill), [])
            drawn.append(_drawn(learner, skill, tries, made))
            sign = sign_of(drawn[-1], held.get((str(learner.pk), skill)))
            cells.append(_cell(skill, words[skill], tries, made, sign.value))
        found.append(BoardRow(learner=learner, cells=tuple(cells)))
    shown = {one: words[one] for one in used}
    picture = board_of_class(drawn, may, shown, cohort.name, "board", _names(learners)) if drawn else None
    return Board(skills=tuple(shown.values()), rows=tuple(found), picture=picture)


def _names(learners: Sequence[Learner]) -> dict[str, str]:
    return {str(one.pk): one.name for one in learners}


def _may(cohort: Cohort, today: date) -> tuple[May, ...]:
    return tuple(
        May(person=str(one.learner_id), skill=one.skill, standing=standing_on(one.until, today), until=one.until)
        for one in counting(SignOff.objects.filter(learner__cohort=cohort))
    )


def _drawn(learner: Learner, skill: str, tries: Sequence[Attempt], made: dict[int, str]) -> LabCell:
    decided = bool(tries) and tries[-1].state in DECIDED
    outcome = Outcome(made[tries[-1].pk]) if decided else None
    return LabCell(learner=str(learner.pk), skill=skill, outcome=outcome, attempts=len(tries))


def _cell(skill: str, title: str, tries: Sequence[Attempt], made: dict[int, str], sign: str) -> Cell:
    last = tries[-1] if tries else None
    words = {"begun": "on the sheet", "sent": "to decide"}
    word = "not tried" if last is None else words.get(last.state) or made[last.pk]
    return Cell(
        skill=skill, title=title, word=word, tries=len(tries), last=last.pk if last is not None else None, sign=sign
    )
