"""The file of a class: who stands where, which steps fail, how evaluators agree and what was done about it, decisions, resources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from drawndose.lab.cohort.pictures import board_of_class, evaluators_of_class, steps_of_class, volumes_of_class
from drawndose.lab.cohort.rows import Agreed, Cell, agreement_rows, board, set_aside, step_rows
from drawndose.lab.cohort.words import (
    figure_words,
    learning_words,
    limits_words,
    pass_mark_words,
    share_words,
    steps_words,
    together_words,
    with_interval,
)
from drawndose.lab.deciding.signoff import who_may
from drawndose.lab.forms.form import Form
from drawndose.lab.papers.document import Document
from drawndose.lab.papers.evidence import SIGNOFFS, decision_cells, rule_pairs, signoff_rows
from drawndose.lab.papers.file import Records
from drawndose.lab.papers.learner_file import MARK, UNDECIDED, attempts_words, judged_by
from drawndose.lab.papers.parts import Column, Part, beside, heading, next_page, pairs, picture, table, text
from drawndose.lab.papers.station_sheet import items

ON_BOARD, ON_SCALE, ON_MAP = 28, 20, 19
"""Learners on one board, volumes on one scale, steps on one map: more would not stand on a page in type that can be read."""


def class_file(records: Records, learners: Sequence[str], *, of: str, printed: str) -> Document:
    """The file. learners: by their ids, in the order of the class list. of: the class."""
    parts = [
        *_summary(records, learners, of),
        *_steps(records),
        *_agreement(records),
        *_decisions(records),
        heading("Resources"),
        table_of_resources(records),
        next_page(),
        *judged_by(records, records.attempts),
    ]
    return Document(title=f"File of {of}", head="The whole class, with what it was judged by.", printed=printed, mark=MARK, parts=parts)  # fmt: skip


def newest(records: Records) -> tuple[Form, ...]:
    """The newest version of each skill among the forms."""
    found: dict[str, Form] = {}
    for one in sorted(records.forms, key=lambda one: one.edition):
        found[one.id] = one
    return tuple(found.values())


def _summary(records: Records, learners: Sequence[str], of: str) -> Iterator[Part]:
    evaluators = sorted({records.called(who) for one in records.attempts for who in one.evaluators})
    yield pairs(
        [
            ("Class", of),
            ("Learners", f"{len(learners)}"),
            ("Attempts", attempts_words(records, records.attempts)),
            ("Evaluators", ", ".join(evaluators)),
        ]
    )
    yield heading("Who stands where")
    forms = newest(records)
    skills = {one.id: one.title for one in forms}
    cells = board(learners, list(skills), records.attempts, records.standing)
    may = who_may(learners, list(skills), records.signoffs, records.decisions, records.today)
    yield text("On the right the decision on the last attempt, with how many there were where it was not the first. What is not decided yet counts in no figure of this file.")  # fmt: skip
    for at in range(0, len(learners) if skills else 0, ON_BOARD):
        some = [one for one in cells if one.learner in learners[at : at + ON_BOARD]]
        shown = picture(board_of_class(some, may, skills, of, f"board-{at}", records.names))
        yield beside([shown], [_standing(records, learners[at : at + ON_BOARD], some, len(skills))])
    yield heading("Signed off")
    yield table(SIGNOFFS, signoff_rows(records.signoffs, records), "Nobody is signed off yet.")


def _standing(records: Records, learners: Sequence[str], cells: Sequence[Cell], skills: int) -> Part:
    rows = []
    for who in learners:
        own = [one for one in cells if one.learner == who]
        rows.append([records.called(who), *(_cell(one.outcome, one.attempts) for one in own)])
    return table((Column("Learner", 1.7), *(Column(f"{place}") for place in range(1, skills + 1))), rows)


def _cell(outcome: object, attempts: int) -> str:
    if not attempts:
        return "not tried"
    word = getattr(outcome, "value", UNDECIDED)
    return f"{word} ({attempts})" if attempts > 1 else word


def _steps(records: Records) -> Iterator[Part]:
    """Which step fails, form by form, and the volumes that were weighed."""
    yield next_page()
    yield heading("Which steps fail")
    yield text("By the first evaluator's marks, the most often failed first; with the interval of 95 %. Steps that nobody failed are left out.")  # fmt: skip
    for at, form in enumerate(newest(records)):
        yield heading(form.name, 2)
        rows = [
            [one.step.says, f"{one.failed} of {one.marked}", _between(one.low, one.high)]
            for one in step_rows(records.results, form)
            if one.failed
        ]
        columns = (Column("Step", 5), Column("Failed", 0, right=True), Column("Share, between", 0, right=True))
        yield table(columns, rows, "No step was failed.")
        yield from map(text, set_aside(records.results, form))
        yield from _pictures(records, form, at)
    yield next_page()
    yield heading("What each step tells")
    yield text("By the first attempt of each learner. Difficulty is the share who did the step, with Wilson's interval of 95 %: a large one is easy. Discrimination is its correlation with all other steps: under 0, who does well elsewhere fails here more often, so look at its wording.")  # fmt: skip
    for form in newest(records):
        yield from _items(records, form)


def _items(records: Records, form: Form) -> Iterator[Part]:
    """The steps of a form as items, and its alpha."""
    found = steps_words(records.results, form)
    if found is None:
        return
    yield heading(form.name, 2)
    columns = (
        Column("Step", 5),
        Column("Done by", 0, right=True),
        Column("Difficulty", 0, right=True),
        Column("Between", 0, right=True),
        Column("Discrimination", 3, right=True),
    )
    yield table(columns, [[one.step.says, one.did, one.difficulty, one.between, one.corrected] for one in found.rows])
    left = f"; {found.left_out} left out for a step that was not marked" if found.left_out else ""
    few = " So few learners give hints only." if found.few else ""
    yield text(f"Alpha (KR-20): {found.alpha}, of {found.counted} learners and {len(found.rows)} steps{left}.{few}")
    marked = "; ".join(f"{name.lower()}: {value}" for name, value in pass_mark_words(records.results, form))
    if marked:
        said = f"{marked[:1].upper()}{marked[1:]}."
        yield text(f"A pass mark out of the overall impressions, to compare with the rule's. {said}")
    yield from _learning(records, form)


def _learning(records: Records, form: Form) -> Iterator[Part]:
    """From attempt to attempt, where anybody tried twice."""
    made = [one for one in records.standing if one.skill == form.id]
    found = learning_words((one.learner, one.number, one.passed) for one in made)
    if found is None:
        return
    columns = (
        Column("Attempt", 0),
        Column("Passed", 0, right=True),
        Column("Share", 0, right=True),
        Column("Between", 3),
    )
    yield table(columns, [[f"{one.attempt}", one.passed, one.share, one.between] for one in found.rows])
    yield text(f"Each doubling of the attempts multiplies the odds to pass by {found.odds}. Whoever passes leaves, so later attempts are of those who had not.")  # fmt: skip


def _pictures(records: Records, form: Form, at: int) -> Iterator[Part]:
    """The step map beside the volumes, so many to a picture that its words stay as large as they are drawn."""
    steps = steps_of_class(records.results, form, f"steps-{at}") if len(form.shown) <= ON_MAP else None
    weighed = [one for one in records.results if one.evidence.weighed is not None and one.form_version == form.version]
    volumes = [
        volumes_of_class(weighed[first : first + ON_SCALE], form, f"volumes-{at}-{first}", records.names)
        for first in range(0, len(weighed), ON_SCALE)
    ]
    yield from side_by_side([[picture(one)] for one in (steps, *volumes) if one is not None])


def side_by_side(found: Sequence[Sequence[Part]]) -> Iterator[Part]:
    """Two by two."""
    yield from (
        beside(*found[one : one + 2], *([[]] if one + 1 == len(found) else [])) for one in range(0, len(found), 2)
    )


def _between(low: float | None, high: float | None) -> str:
    return "not estimable" if low is None or high is None else f"{100 * low:.0f} % to {100 * high:.0f} %"


def _agreement(records: Records) -> Iterator[Part]:
    yield next_page()
    yield heading("How evaluators agree")
    yield text("More than one measure, since most steps are done and kappa alone misleads. On attempts that two scored without seeing each other.")  # fmt: skip
    rows = [_agreed(one, records) for one in agreement_rows(records.results, records.forms)]
    columns = (
        Column("Evaluators", 2),
        Column("Tries", 0, right=True),
        Column("Alike", 0, right=True),
        Column("Kappa", 2.7, right=True),
        Column("AC1", 0, right=True),
        Column("On failing", 1, right=True),
        Column("What it asks for", 4),
    )
    yield table(columns, rows, "No attempt was scored by two.")
    yield from _together(records)
    yield heading("What was done about it", 2)
    done = [
        [f"{records.called(one.first)}, {records.called(one.second)}".strip(", "), one.found, one.done, records.called(one.by), one.on]
        for one in records.actions
    ]  # fmt: skip
    of_done = (Column("Evaluators", 2), Column("Found", 3), Column("Done", 4), Column("By", 1.5), Column("On", 1.5))
    yield table(of_done, done, "No action is recorded.")
    found = [
        [heading(one.title, 2), picture(drawn)]
        for at, one in enumerate(newest(records))
        if (drawn := evaluators_of_class(records.results, one, f"eyes-{at}", records.names)) is not None
    ]
    yield from side_by_side(found)


def _together(records: Records) -> Iterator[Part]:
    """All evaluators together, under the name of what each coefficient takes chance to be."""
    found = together_words(records.results, records.forms)
    if found is None:
        return
    yield heading("All evaluators together", 2)
    yield pairs(
        [
            ("Marked by two", f"{found.attempts} attempts of {found.evaluators} evaluators, {found.steps} steps"),
            *found.figures,
        ]
    )
    few = " So few attempts give hints only." if found.few else ""
    yield text(f"In brackets 95 %. The intervals hold steps to be independent; those of one attempt are not, so they are too narrow. The ICC says how much of the spread of the percentages is the learners', with attempts for what is independent.{few}")  # fmt: skip


def _limits(records: Records) -> Iterator[Part]:
    """What a line of so many attempts as the rule allows can show at all."""
    columns = (Column("Line and what it says", 2), Column("Limit", 4), Column("Shortest way to it", 3))
    for allowed in sorted({one.attempts for one in records.rules}):
        yield heading(f"What a line of {allowed} attempts can show", 2)
        yield table(columns, [[one.line, one.limit, one.way] for one in limits_words(allowed)])
    yield text("Limits that keep a wrong signal under 10 % within the attempts allowed, for a failure rate of 20 % that is acceptable and one of 40 % that is not: settings, from memory. The decision is the rule's, never a line's.")  # fmt: skip


def _agreed(one: Agreed, records: Records) -> list[str | list[str]]:
    found = one.measures
    worst = "; ".join(f"{step}: {count}" for step, count in one.otherwise[:3])
    return [
        f"{records.called(one.first)}, {records.called(one.second)}",
        f"{one.attempts}",
        share_words(found.observed),
        with_interval(found.beyond.kappa, found.beyond.interval),
        figure_words(found.ac1),
        share_words(found.each[1]),
        [each for each in (one.wanted, worst and f"Most often otherwise: {worst}.") if each],
    ]


def _decisions(records: Records) -> Iterator[Part]:
    """Every decision, learner by learner."""
    yield next_page()
    yield heading("Decisions")
    yield from map(rule_pairs, records.rules)
    yield from _limits(records)
    titles = {one.id: one.title for one in records.forms}
    gone = {one.supersedes for one in records.decisions}
    rows = []
    decided = records.decided
    made = [one for one in records.decisions if one.attempt in decided]
    for one in sorted(made, key=lambda one: (records.called(one.learner), one.at)):
        rule = records.rule_of(one)
        short = f"edition {rule.edition} ({rule.version[:8]})" if len(records.rules) > 1 else ""
        cells = decision_cells(one, records, superseded=one.id in gone, rule=short)
        rows.append([records.called(one.learner), f"{titles[one.skill]}, attempt {one.number}", *cells])
    columns = (
        Column("Learner", 1.6),
        Column("Skill", 2.4),
        Column("When", 1.9),
        Column("Decision", 1.5),
        Column("Reasons", 4.4),
        Column("By", 1.9),
    )
    yield table(columns, rows, "Nothing is decided yet.")


def table_of_resources(records: Records) -> Part:
    """What lay on the tables of its days."""
    return items(records.supplies, tick=False) if records.supplies else text("No day of this class was laid out.")
