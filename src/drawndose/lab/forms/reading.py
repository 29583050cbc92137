"""A form out of plain data or TOML: everything wrong with it is told at once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from drawndose.lab.forms.form import ANY, Choice, Form, Phase, Step
from drawndose.lab.forms.scale import Scale
from drawndose.lab.reading import fault, text_or_none, whole
from drawndose.quantities import Fault, gather
from drawndose.reference import Container
from drawndose.reference.table import Table

ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
MOST_STEPS, MOST_MINUTES, MOST_WEIGHT = 60, 240, 100
SCHEMA = "drawndose.form/1"


def read_form(data: object) -> Form:
    """The form that data say. Refused, with every fault, for what is no form: see `form_faults` for what must hold in it."""
    faults: list[Fault] = []
    made = take_form(Table(data, "form", faults))
    gather([*faults, *form_faults(made)])
    return made


def take_form(table: Table) -> Form:
    """A form out of a table; what is wrong stays with the table."""
    if (schema := table.text("schema", SCHEMA)) != SCHEMA:
        table.fault("schema", "the schema is not known here", schema, SCHEMA)
    made = Form(
        id=table.text("id"),
        title=table.text("title"),
        container=_container(table),
        minutes=whole(table, "minutes", 1, MOST_MINUTES),
        edition=whole(table, "edition", 1, 10_000, 1),
        replaces=text_or_none(table, "replaces"),
        based_on=text_or_none(table, "based_on"),
        written_by=text_or_none(table, "written_by"),
        choices=tuple(_choice(one) for one in table.tables("choice")),
        steps=tuple(_step(one) for one in table.tables("step")),
    )
    table.done()
    return made


def _container(table: Table) -> Container | None:
    return None if table.raw("container") == ANY else table.choice("container", Container)


def _choice(table: Table) -> Choice:
    made = Choice(
        id=table.text("id"),
        asks=table.text("asks"),
        options=table.texts("options"),
        chosen=table.text("chosen"),
        why=table.text("why"),
    )
    table.done()
    return made


def _step(table: Table) -> Step:
    only = table.texts("only")
    if len(only) not in {0, 2}:
        table.fault("only", "a choice and one of its options are wanted", ", ".join(only), '["snap", "away"]')
    made = Step(
        id=table.text("id"),
        phase=table.choice("phase", Phase),
        says=table.text("says"),
        failure=table.text("failure"),
        critical=table.truth("critical", False),
        weight=whole(table, "weight", 0, MOST_WEIGHT, 1),
        scale=table.choice("scale", Scale, Scale.DONE),
        prompt=text_or_none(table, "prompt"),
        only=(only[0], only[1]) if len(only) == 2 else None,
        rules=table.texts("rules"),
        how=table.text("how", "common practice"),
    )
    table.done()
    return made


def form_faults(form: Form) -> list[Fault]:
    """What cannot be in a form although each part of it was read; none for a sound form."""
    found = _id_faults([("form.id", form.id)])
    found += _id_faults((f"step {place}, id", one.id) for place, one in enumerate(form.steps, start=1))
    for what, ids in (("step", [one.id for one in form.steps]), ("choice", [one.id for one in form.choices])):
        twice = [ident for ident, count in Counter(ids).items() if ident and count > 1]
        found += [fault(f"{what} {ident}", "it stands twice", ident, "another id") for ident in twice]
    if not 1 <= len(form.steps) <= MOST_STEPS:
        found.append(fault("form.step", "the number of steps", len(form.steps), f"1 to {MOST_STEPS}"))
    if not form.total_weight:
        found.append(fault("form.step", "some step must count: all weights are 0", "0", "a weight of 1 or more"))
    if not form.critical:
        found.append(fault("form.step", "no step is critical, so nothing unsafe could fail", "none", "one or more"))
    return found + _choice_faults(form)


def _id_faults(named: Iterable[tuple[str, str]]) -> list[Fault]:
    rule = "an id is small letters and figures, joined by single hyphens"
    return [
        fault(field, rule, ident, "hands, second-label-check")
        for field, ident in named
        if ident and not ID.fullmatch(ident)
    ]


def _choice_faults(form: Form) -> list[Fault]:
    found = []
    options = {(one.id, option) for one in form.choices for option in one.options}
    for one in form.choices:
        if len(set(one.options)) < 2:
            found.append(fault(f"choice {one.id}", "two or more options are needed", list(one.options), "two"))
        if one.chosen not in one.options:
            rule = "what is chosen is one of the options"
            found.append(fault(f"choice {one.id}", rule, one.chosen, ", ".join(one.options)))
    for step in form.steps:
        if step.only is not None and step.only not in options:
            accepted = "; ".join(f"{choice}, {option}" for choice, option in sorted(options)) or "no choice stands here"
            found.append(fault(f"step {step.id}, only", "no such choice", ", ".join(step.only), accepted))
    return found
