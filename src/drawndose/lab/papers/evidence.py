"""Evidence, marks, decisions and sign-offs in words: rows that both files print."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from drawndose.bench.draws import ml
from drawndose.lab.attempts.attempt import Attempt, Sheet
from drawndose.lab.attempts.evidence import PARTS, Evidence, Held, told
from drawndose.lab.attempts.marks import Mark, standing
from drawndose.lab.attempts.scored import score
from drawndose.lab.deciding.decide import Decision, percent_words
from drawndose.lab.deciding.rule import Rule
from drawndose.lab.deciding.signoff import SignOff
from drawndose.lab.forms.form import Form
from drawndose.lab.papers.file import Records
from drawndose.lab.papers.parts import Column, Part, Row, pairs, table

NAMES = {
    "answer": "Dose sum",
    "read": "Volume as read",
    "weighed": "Volume by weight",
    "label": "Label",
    "stopped": "Stopping",
}


def evidence_table(found: Evidence) -> Part:
    """What was measured and said, piece by piece; what the task does not ask for is left out."""
    rows: list[Row] = [
        [NAMES[part], told(part, found.held(part)), [one for one in _says(found, part) if one]]
        for part in PARTS
        if found.held(part) is not Held.NOT_ASKED
    ]
    if found.seconds is not None:
        minutes, seconds = divmod(found.seconds, 60)
        rows.append(["Time", "", [f"{minutes} min {seconds} s"]])
    return table(
        (Column("Evidence", 1.2), Column("Found", 1), Column("In words", 5)), rows, "No evidence was asked for."
    )


def _says(found: Evidence, part: str) -> list[str]:
    if part == "answer" and found.answer is not None:
        one = found.answer
        slip = f"This is the answer of a known slip: {one.slip}." if one.slip else ""
        return [f"Answered {one.typed}; right is {one.right}.", slip]
    if part == "read" and found.read is not None:
        read = found.read
        return [f"{ml(read.mL)}; asked for {ml(read.target_mL)}, within {ml(read.tolerance_mL)} either way."]
    if part == "weighed" and found.weighed is not None:
        weight = found.weighed
        return [weight.says, f"Readings {', '.join(weight.readings)} g at {weight.t_degC} °C.", *weight.doubts]
    if part == "label" and found.label is not None:
        wrong = ", ".join(f"{name} ({stood})" for name, stood in found.label.wrong)
        missing = ", ".join(found.label.missing)
        return [missing and f"Missing: {missing}.", wrong and f"Otherwise than it must be: {wrong}."]
    if part == "stopped" and found.stopped is not None:
        return [f"Said: {found.stopped.said}" if found.stopped.said else "Nothing was said."]
    return []


def marks_table(sheets: Sequence[Sheet], form: Form, records: Records) -> Part:
    """Every step with the mark of each evaluator that stands, side by side, and what was noted."""
    stands = [(records.called(one.evaluator), standing(one.marks)) for one in sheets]
    rows: list[Row] = []
    for number, step in enumerate(form.shown, start=1):
        marks = [(name, found.get(step.id)) for name, found in stands]
        notes = [f"{name}: {note}" if len(sheets) > 1 else note for name, mark in marks for note in _noted(mark)]
        says = f"CRITICAL: {step.says}" if step.critical else step.says
        points = [mark.point if mark is not None else "not marked" for _, mark in marks]
        rows.append([f"{number}", says, *points, notes])
    heads = [name for name, _ in stands] if len(sheets) > 1 else ["Mark"]
    return table((Column("", 0), Column("Step", 5), *(Column(one, 1.1) for one in heads), Column("Note", 2)), rows)


def _noted(mark: Mark | None) -> Iterator[str]:
    if mark is not None and mark.note:
        yield mark.note
    if mark is not None and mark.prompted:
        yield "after the prompt"


def sheet_facts(sheet: Sheet, form: Form, records: Records) -> Part:
    """What one evaluator's sheet comes to."""
    found = score(sheet, form)
    taken_back = sum(bool(one.undoes) for one in sheet.marks)
    return pairs(
        [
            ("Evaluator", records.called(sheet.evaluator)),
            ("Comes to", f"{percent_words(found.percent)} of the form"),
            ("Critical failures", "; ".join(one.failure for one in found.critical_failures) or "none"),
            ("Prompts", f"{found.prompts}" if found.prompts else ""),
            ("Marks taken back", f"{taken_back}" if taken_back else ""),
            ("Overall impression", f"{sheet.rating} of 5" if sheet.rating is not None else ""),
            ("Note", sheet.note),
            ("Handed in", records.at(sheet.closed)),
        ]
    )


def decision_rows(decisions: Sequence[Decision], records: Records) -> Iterator[list[str | list[str]]]:
    """Each decision, those that no longer stand too, with its reasons and the version of its rule."""
    gone = {one.supersedes for one in decisions}
    for one in sorted(decisions, key=lambda one: one.at):
        yield decision_cells(one, records, superseded=one.id in gone, rule=f"by {records.rule_of(one).name}")


def decision_cells(one: Decision, records: Records, *, superseded: bool, rule: str) -> list[str | list[str]]:
    """One decision under the heads of DECISIONS. rule: how its rule is called there; "" where there is but one."""
    return [
        records.at(one.at),
        [one.outcome.value, *(["(superseded)"] if superseded else [])],
        [_reason(reason.says, one, records) for reason in one.reasons],
        [each for each in (records.called(one.by), rule) if each],
    ]


def _reason(says: str, decision: Decision, records: Records) -> str:
    """A reason with the names of those whom it calls by their ids: who changed the decision, and which evaluator saw it."""
    told = says
    if told.startswith(f"{decision.by}: "):
        told = f"{records.called(decision.by)}{told.removeprefix(decision.by)}"
    for who in (who for one in records.attempts if one.id == decision.attempt for who in one.evaluators):
        if told.endswith(f" ({who})"):
            told = f"{told.removesuffix(f'({who})')}({records.called(who)})"
    return told


DECISIONS = (Column("When", 1.7), Column("Decision", 1.7), Column("Reasons", 4.4), Column("By, and by which rule", 2.6))


def signoff_rows(signoffs: Iterable[SignOff], records: Records) -> Iterator[list[str]]:
    """Each sign-off and how it stands on the day of printing."""
    titles = {form.id: form.title for form in records.forms}
    for one in sorted(signoffs, key=lambda one: (records.called(one.person), titles.get(one.skill, ""), one.on)):
        until = f"{one.until:%d %b %Y}" if one.until is not None else "no end"
        how = one.stopped or one.standing(records.today).value
        by = records.called(one.by)
        yield [records.called(one.person), titles.get(one.skill, one.skill), f"{one.on:%d %b %Y}", until, how, by]


SIGNOFFS = (Column("Who", 1.7), Column("Skill", 2.5), Column("Signed off", 1.3), Column("Due", 1.3), Column("Stands", 1.2), Column("By", 1.7))  # fmt: skip


def rule_pairs(rule: Rule) -> Part:
    """A rule in words."""
    days = f"{rule.days_between} full day{'' if rule.days_between == 1 else 's'}"
    asks = [
        "no critical step failed",
        f"{percent_words(rule.percent_floor)} of the form or more",
        f"volume: {rule.volume.value}",
        *(["the dose sum right"] if rule.sum_right else []),
        *(["the label right"] if rule.label_right else []),
        *([f"within {rule.within_minutes} min"] if rule.within_minutes else []),
    ]
    tries = [f"{rule.attempts} in all", f"{days} between"]
    tries += ["practice planned and seen before the next"] if rule.remediation else []
    tries += ["two evaluators on the last"] if rule.second_on_last else []
    valid = f"{rule.valid_months} months" if rule.valid_months else "without an end"
    rows = [("Rule", rule.name), ("Asks for", "; ".join(asks)), ("Attempts", "; ".join(tries)), ("A pass holds", valid)]
    return pairs([*rows, ("After a later attempt that is not passed", rule.later_failure.value)])


def title_of(attempt: Attempt, records: Records) -> str:
    """What a try is called."""
    return f"{records.form_of(attempt).title}, attempt {attempt.number}, {records.at(attempt.started)}"
