"""The file of one learner: what was tried, marked, measured, decided and signed, with the forms and rules that it was judged by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.papers.document import Document
from drawndose.lab.papers.evidence import (
    DECISIONS,
    SIGNOFFS,
    decision_rows,
    evidence_table,
    marks_table,
    rule_pairs,
    sheet_facts,
    signoff_rows,
    title_of,
)
from drawndose.lab.papers.file import Records
from drawndose.lab.papers.parts import Column, Part, beside, heading, next_page, pairs, table, text

MARK = "TRAINING RECORD"
UNDECIDED = "not decided yet"


def learner_file(records: Records, learner: str, *, of: str, printed: str) -> Document:
    """The file. of: the class. What belongs to other learners in the records is left out."""
    tries = tuple(records.of(learner))
    parts = [*_summary(records, learner, tries, of)]
    for one in tries:
        parts += _attempt(records, one)
    parts += [next_page(), *judged_by(records, tries)]
    return Document(title=f"File of {records.called(learner)}", head=f"{of}. Every attempt with what it was judged by.", printed=printed, mark=MARK, parts=parts)  # fmt: skip


def _summary(records: Records, learner: str, tries: tuple[Attempt, ...], of: str) -> Iterator[Part]:
    stands = {one.attempt: one.outcome.value for one in records.standing}
    yield pairs([("Learner", records.called(learner)), ("Class", of), ("Attempts", attempts_words(records, tries))])
    yield heading("What was tried")
    rows = [
        [records.form_of(one).title, f"{one.number}", records.at(one.started), stands.get(one.id, UNDECIDED)]
        for one in tries
    ]
    yield table((Column("Skill", 3), Column("Attempt", 0, right=True), Column("When", 2), Column("Decision", 2)), rows)
    yield heading("Signed off")
    own = [one for one in records.signoffs if one.person == learner]
    yield table(SIGNOFFS, signoff_rows(own, records), "Not signed off for any skill.")


def attempts_words(records: Records, tries: Sequence[Attempt]) -> str:
    """How many attempts, and how many of them are not decided yet."""
    decided = records.decided
    left = sum(one.id not in decided for one in tries)
    return f"{len(tries)}, {left} of them {UNDECIDED}" if left else f"{len(tries)}"


def _attempt(records: Records, one: Attempt) -> Iterator[Part]:
    """One attempt whole once it is decided; before, that it was, and nothing that another evaluator or its learner could go by."""
    form = records.form_of(one)
    yield heading(title_of(one, records))
    yield pairs(
        [
            ("Card", records.cards.get(one.id, "")),
            ("Station", one.station),
            ("Form", form.name),
            ("Began, ended", " to ".join(at for at in (records.at(one.started), records.at(one.ended)) if at)),
        ]
    )
    if one.id not in records.decided:
        yield text(f"This attempt is {UNDECIDED}. What was marked, measured and said of it is printed once it is.")
        return
    yield heading("Evidence", 2)
    yield evidence_table(one.evidence)
    yield heading("Decisions", 2)
    own = [each for each in records.decisions if each.attempt == one.id]
    yield table(DECISIONS, decision_rows(own, records))
    yield from _after(records, one)
    yield heading("Marks", 2)
    facts = [sheet_facts(sheet, form, records) for sheet in one.sheets]
    yield from facts if len(facts) == 1 else (beside(*([each] for each in facts)),)
    yield marks_table(one.sheets, form, records)


def _after(records: Records, one: Attempt) -> Iterator[Part]:
    """Practice, signature and comment."""
    yield heading("Practice, signature, comment", 2)
    plans = [each for each in records.remediation if each.attempt == one.id]
    for plan in plans:
        done = (
            f"Done {records.at(plan.done)}, seen by {records.called(plan.seen_by)}." if plan.done else "Not done yet."
        )
        yield text(f"Practice planned by {records.called(plan.by)}, since {plan.reason}: {plan.plan} {done}")
    if not plans:
        yield text("No practice was planned.")
    signed = [each for each in records.signed if each.attempt == one.id]
    for each in signed:
        yield text(f"Read and signed by {records.called(each.by)}, {records.at(each.at)}.")
    if not signed:
        yield text("Not signed by the learner.")
    yield text(f"The learner's comment: {one.comment}" if one.comment else "The learner made no comment.")


def judged_by(records: Records, tries: tuple[Attempt, ...]) -> Iterator[Part]:
    """Every version of a rule and of a form that these attempts were judged by, in full."""
    ids = {one.id for one in tries}
    rules = {one.rule_version for one in records.decisions if one.attempt in ids}
    yield heading("What it was judged by")
    for rule in records.rules:
        if rule.version in rules:
            yield rule_pairs(rule)
    for form in records.forms:
        if any(one.form_version == form.version for one in tries):
            yield heading(f"Form: {form.name}", 2)
            for choice in form.choices:
                yield text(f"{choice.asks} Here: {choice.chosen}.")
            rows = [
                [f"{at}", f"CRITICAL: {step.says}" if step.critical else step.says, step.failure, f"{step.weight}"]
                for at, step in enumerate(form.shown, start=1)
            ]
            yield table((Column("", 0), Column("Step", 5), Column("Fails", 3), Column("Weight", 0, right=True)), rows)
