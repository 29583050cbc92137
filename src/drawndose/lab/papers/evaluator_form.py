"""The evaluator's form on paper: for the table whose tablet or network is gone. The same steps, marks and evidence as on the page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from drawndose.lab.forms.form import Form, Step, container_word
from drawndose.lab.papers.document import Document
from drawndose.lab.papers.parts import (
    Column,
    Part,
    beside,
    blanks,
    boxes,
    heading,
    notice,
    pairs,
    table,
    text,
    to_write,
    together,
)

MARK = "EVALUATORS ONLY"
WEIGHED = (("Without, g:", ""), ("With, g:", ""), ("Without again, g:", ""), ("Temperature of the water:", "°C"))
HEAD = (
    ("Learner:", ""),
    ("Evaluator:", "first / second"),
    ("Day, and card:", ""),
    ("Attempt number:", ""),
    ("Began, ended (24 h):", ""),
)


def evaluator_form(form: Form, printed: str) -> Document:
    """One form, to be copied for each learner. Critical steps stand in words, not only as a sign."""
    parts = [*_head(form), *_steps(form), together(_evidence(form))]
    return Document(title=form.title, head=f"Evaluator's form on paper, {form.edition_words}", printed=printed, mark=MARK, parts=parts)  # fmt: skip


def _head(form: Form) -> Iterator[Part]:
    yield blanks(HEAD)
    yield pairs(
        [
            ("Container", container_word(form.container)),
            ("Time", "as on the card"),
            ("Steps", f"{len(form.shown)}, of them {len(form.critical)} critical"),
        ]
    )
    for one in form.choices:
        yield text(f"{one.asks} Here: {one.chosen}.")
    yield notice("A critical step that fails, fails the attempt. Say nothing but the prompts. The learner does not see this sheet.")  # fmt: skip


def _steps(form: Form) -> Iterator[Part]:
    columns = (
        Column("", 0),
        Column("Phase", 0),
        Column("What is done well", 5),
        Column("Mark one", 2.3),
        Column("Note", 2),
    )
    yield heading("Steps: in any order, each once", 2)
    yield table(columns, [_row(number, step) for number, step in enumerate(form.shown, start=1)])


def _row(number: int, step: Step) -> list[str | list[str] | Part]:
    says = [f"CRITICAL: {step.says}" if step.critical else step.says, f"Fails: {step.failure}"]
    if step.prompt:
        says.append(f'May be said: "{step.prompt}"')
    words = [one.word for one in step.scale.points] + (["after the prompt"] if step.prompt else [])
    return [f"{number}{' !' if step.critical else ''}", step.phase.value, says, boxes(words), to_write(2)]


def _evidence(form: Form) -> Iterator[Part]:
    """Where to write it; a form for any container is about stopping, and nothing is measured then."""
    yield heading("Evidence", 2)
    yield text("Leave empty what the card does not ask for; what cannot be told is measured again.")
    yield from _told() if form.container is None else (beside(_measured(), [*_label(), *_told()]),)
    yield blanks([("Signed:", "at ..............")])


def _measured() -> Iterator[Part]:
    yield blanks([("Dose sum as the learner wrote it:", ""), ("Volume as read:", "mL")])
    yield text("By weight, the vessel or syringe:", strong=True)
    yield blanks(WEIGHED)


def _label() -> Iterator[Part]:
    yield from _asked("Label against the key:", ("every line right", "missing or wrong:"))


def _told() -> Iterator[Part]:
    yield from _asked("The learner stopped:", ("no", "yes, and said:"))
    yield text("Overall impression: decides nothing by itself", strong=True)
    yield boxes(["0", "1", "2", "3", "4", "5"])


def _asked(name: str, words: Sequence[str]) -> Iterator[Part]:
    yield text(name, strong=True)
    yield boxes(words)
    yield to_write()
