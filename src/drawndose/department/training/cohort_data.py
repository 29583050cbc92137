"""What a class shows and what its file holds, gathered from the records: rows of words, for pages, CSV and paper."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.department.training.forms import titles
from drawndose.department.training.models import Attempt, Cohort, Decision, Learner


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One learner and one skill: how it stands, how many tries there were, and the last of them, or None."""

    skill: str
    title: str
    word: str
    tries: int
    last: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardRow:
    """A learner with each skill."""

    learner: Learner
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """Who stands where: the skills, and a row for each learner."""

    skills: tuple[str, ...]
    rows: tuple[BoardRow, ...]


def board_of(cohort: Cohort) -> Board:
    """The board of a class."""
    words = titles()
    tried: dict[tuple[int, str], list[Attempt]] = {}
    rows = Attempt.objects.filter(learner__cohort=cohort).exclude(state="broken off").order_by("number")
    for one in rows:
        tried.setdefault((one.learner_id, one.skill), []).append(one)
    made = dict(
        Decision.objects.filter(attempt__learner__cohort=cohort, state="stands").values_list("attempt_id", "outcome")
    )
    used = [skill for skill in words if any(key[1] == skill for key in tried)] or list(words)
    found = []
    for learner in cohort.learner_set.order_by("number"):
        cells = tuple(_cell(skill, words[skill], tried.get((learner.pk, skill), []), made) for skill in used)
        found.append(BoardRow(learner=learner, cells=cells))
    return Board(skills=tuple(words[one] for one in used), rows=tuple(found))


def _cell(skill: str, title: str, tries: list[Attempt], made: dict[int, str]) -> Cell:
    last = tries[-1] if tries else None
    word = "not tried" if last is None else made.get(last.pk, "to decide" if last.state != "begun" else "on the sheet")
    if last is not None and last.state == "sent":
        word = "to decide"
    return Cell(skill=skill, title=title, word=word, tries=len(tries), last=last.pk if last is not None else None)
