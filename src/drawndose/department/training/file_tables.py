"""The file as CSV, its tables beside the attempts: every mark, the forms that were marked on, how evaluators agree, the resources."""

from __future__ import annotations

from collections.abc import Iterator

from drawndose.department.people.models import Person
from drawndose.department.training.agreement import agreed, attempts_of, forms_used, tried
from drawndose.department.training.csv_cells import Row, csv_of
from drawndose.department.training.models import Cohort, LabDay
from drawndose.lab.attempts.marks import standing
from drawndose.lab.cohort.figures import form_figures, together
from drawndose.science.statistics.estimable import Between, NotEstimable


def marks(cohort: Cohort) -> str:
    """One row for each step that an evaluator marked on a decided attempt: the mark that stands, with its note."""
    forms = {one.version: one for one in forms_used(cohort)}
    people = dict(Person.objects.values_list("username", "name"))
    rows = {f"attempt-{one.pk}": one for one in attempts_of(cohort)}
    heads = ("number", "name", "skill", "attempt", "form version", "evaluator", "step", "says", "critical", "mark", "prompted", "note")  # fmt: skip

    def made() -> Iterator[Row]:
        for one in tried(cohort):
            row, form = rows[one.id], forms[one.form_version]
            for sheet in one.sheets:
                stands = standing(sheet.marks)
                for place, step in enumerate(form.shown, start=1):
                    mark = stands.get(step.id)
                    yield (
                        row.learner.number, row.learner.name, form.title, one.number, form.version[:8],
                        people.get(sheet.evaluator, sheet.evaluator), place, step.says, "yes" if step.critical else "no",
                        mark.point if mark is not None else "not marked",
                        "yes" if mark is not None and mark.prompted else "no", mark.note if mark is not None else "",
                    )  # fmt: skip

    return csv_of(heads, made())


def forms(cohort: Cohort) -> str:
    """One row for each step of every version that an attempt of the class was marked on."""
    heads = ("form", "edition", "version", "step", "says", "critical", "weight", "fails")
    return csv_of(
        heads,
        (
            (
                form.title, form.edition, form.version[:8], place, step.says,
                "yes" if step.critical else "no", step.weight, step.failure,
            )
            for form in forms_used(cohort)
            for place, step in enumerate(form.shown, start=1)
        ),
    )  # fmt: skip


def steps(cohort: Cohort) -> str:
    """One row for each step of a form, by first attempts that are decided: difficulty with its interval, discrimination, the form's alpha."""
    tries = tried(cohort)
    heads = (
        *("form", "version", "step", "says", "critical", "marked", "did", "difficulty", "low 95 %", "high 95 %"),
        *("discrimination", "alpha of the form", "learners in it", "left out"),
    )

    def made() -> Iterator[Row]:
        for form in forms_used(cohort):
            if (found := form_figures(tries, form)) is None:
                continue
            for step, one in found.steps:
                low, high = _ends(one.interval)
                yield (
                    form.title, form.version[:8], one.place, step.says, "yes" if step.critical else "no", one.answered, one.did,
                    one.difficulty, low, high, one.corrected, found.alpha.value, found.alpha.learners, found.alpha.left_out,
                )  # fmt: skip

    return csv_of(heads, made())


def agreement(cohort: Cohort) -> str:
    """One row for each two evaluators who marked the same decided attempts: every measure, or why there is none."""
    people = dict(Person.objects.values_list("username", "name"))
    heads = ("first", "second", "attempts", "alike", "alike where done", "alike where not done", "kappa", "kappa low 95 %", "kappa high 95 %", "PABAK", "AC1", "asks for")  # fmt: skip
    return csv_of(
        heads,
        (
            (
                people.get(one.first, one.first), people.get(one.second, one.second), one.attempts,
                one.measures.observed, *one.measures.each[:2], one.measures.beyond.kappa, *_ends(one.measures.beyond.interval), one.measures.pabak,
                one.measures.ac1, one.wanted,
            )
            for one in agreed(tried(cohort), forms_used(cohort))
        ),
    )  # fmt: skip


def evaluators(cohort: Cohort) -> str:
    """All evaluators of a class together: one row for each coefficient, with its interval; none where no attempt was marked by two."""
    found = together(tried(cohort), forms_used(cohort))
    heads = ("coefficient", "value", "low 95 %", "high 95 %", "evaluators", "attempts", "steps")
    if found is None:
        return csv_of(heads, ())
    of = (len(found.evaluators), found.attempts, found.by.pairs)
    named = ((name, value, *_ends(between), *of) for name, value, between in found.coefficients)
    return csv_of(heads, (("pairs of marks alike", found.by.observed, "", "", *of), *named))


def _ends(between: Between | None) -> tuple[object, object]:
    """Both ends of an interval; nothing where there is none."""
    return ("", "") if between is None or isinstance(between, NotEstimable) else between


def resources(cohort: Cohort) -> str:
    """One row for each thing that lay on the tables of a day."""
    days = LabDay.objects.filter(cohort=cohort).exclude(state="dropped").order_by("on", "pk")
    heads = ("day", "on", "count", "what", "simulated by")
    return csv_of(
        heads,
        ((day.title, day.on, one["count"], one["what"], one["simulated"]) for day in days for one in day.supplies),
    )
