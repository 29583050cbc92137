"""Steps over the class, evaluators beside each other with the action taken, and the class's files."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import act
from drawndose.department.pages.lab.frame import NONE, asked, go, shown, sits_in, told
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training import agreement
from drawndose.department.training.cohort import ident
from drawndose.department.training.files import FILES, OF_LEARNER, of_learner
from drawndose.department.training.models import Action, Cohort, Learner
from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.cohort.pictures import evaluators_of_class, steps_of_class, volumes_of_class
from drawndose.lab.cohort.rows import Agreed, set_aside, step_rows
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
from drawndose.lab.forms.form import Form


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def items(request: HttpRequest, number: int) -> HttpResponse:
    """Steps and agreement of a class. POST: what was done about two evaluators who differ."""
    row = Cohort.objects.filter(pk=number).first()
    if row is None or sits_in(request.user, row):
        return told(request, "No such class", f"There is no class {number} here, or you are a learner of it.")
    outcome = NONE
    if request.method == "POST":
        form = asked(request)
        fields = form.fields
        outcome = act(
            lambda: agreement.take_action(
                row,
                fields.get("pair", ""),
                fields.get("found", ""),
                fields.get("says", ""),
                by=request.user,
                key=form.key,
            ),
            key=form.key,
        )
        if outcome.done:
            return go(request, reverse("lab-items", args=[row.pk]), f"lab-items-{row.pk}")
    tries, forms, passed = agreement.tried(row), agreement.forms_used(row), agreement.passed(row)
    names = dict(Person.objects.values_list("username", "name"))
    called = names | {ident(one): one.name for one in row.learner_set.select_related("person")}
    allowed_here = agreement.attempts_allowed(row)
    context: dict[str, Any] = {
        "here": "lab",
        "row": row,
        "forms": [_form(one, place, tries, called, passed.get(one.id, ())) for place, one in enumerate(forms, start=1)],
        "pairs": [_pair(one, names) for one in agreement.agreed(tries, forms)],
        "together": together_words(tries, forms),
        "allowed": allowed_here,
        "limits": limits_words(allowed_here) if allowed_here is not None else (),
        "actions": Action.objects.filter(cohort=row).select_related("by").order_by("-pk"),
        "waiting": agreement.undecided(row),
        "files": list(FILES),
    }
    return shown(request, "items", context, outcome=outcome, draft=f"lab-items-{row.pk}")


def _form(
    form: Form, place: int, tries: Sequence[Attempt], names: dict[str, str], passed: Sequence[tuple[str, int, bool]]
) -> dict[str, Any]:
    """One form over the class: its steps, the attempts on another version, and the pictures that there is something for."""
    drawn = (
        steps_of_class(tries, form, f"steps-{place}"),
        volumes_of_class(tries, form, f"volumes-{place}", names),
        evaluators_of_class(tries, form, f"evaluators-{place}", names),
    )
    return {
        "form": form,
        "steps": [_step(line) for line in step_rows(tries, form)],
        "items": steps_words(tries, form),
        "mark": pass_mark_words(tries, form),
        "learning": learning_words(passed),
        "aside": set_aside(tries, form),
        "figures": [one for one in drawn if one is not None],
    }


def _step(line: Any) -> dict[str, Any]:
    between = line.low is not None and line.high is not None
    return {
        "step": line.step,
        "marked": line.marked,
        "failed": line.failed,
        "share": share_words(line.share) if line.share is not None else "nobody was marked",
        "between": f"{share_words(max(0.0, line.low))} to {share_words(line.high)}" if between else "",
    }


def _pair(one: Agreed, names: dict[str, str]) -> dict[str, Any]:
    """Two evaluators: every measure together, because one alone misleads where nearly everything is done."""
    found = one.measures
    figures = {
        "marked alike": found.observed,
        "alike where done": found.each[0],
        "alike where not done": found.each[1],
    }
    return {
        "names": f"{names.get(one.first, one.first)} and {names.get(one.second, one.second)}",
        "attempts": one.attempts,
        "figures": [(name, share_words(value)) for name, value in figures.items()],
        "chance": [
            ("Kappa", with_interval(found.beyond.kappa, found.beyond.interval)),
            ("PABAK", figure_words(found.pabak)),
            ("AC1", figure_words(found.ac1)),
        ],
        "kappa": figure_words(found.beyond.kappa),
        "otherwise": one.otherwise[:5],
        "wanted": one.wanted,
        "found": f"marked alike: {share_words(found.observed)}; kappa: {figure_words(found.beyond.kappa)}; {one.attempts} attempts",
    }


@require_safe
@allowed(Right.TEACH, Right.SET_POLICY)
def file(request: HttpRequest, number: int, name: str) -> HttpResponse:
    """One file of a class, as CSV."""
    row = Cohort.objects.filter(pk=number).first()
    if row is None or name not in FILES or sits_in(request.user, row):
        return told(request, "No such file", f"There is none of this name. There are: {', '.join(FILES)}.")
    return _csv(FILES[name](row), f"class-{row.pk}-{name}")


@require_safe
@allowed(Right.TEACH, Right.SET_POLICY)
def learner_file(request: HttpRequest, number: int, name: str) -> HttpResponse:
    """One file of one learner, as CSV."""
    row = Learner.objects.select_related("cohort").filter(pk=number).first()
    if row is None or name not in OF_LEARNER or sits_in(request.user, row.cohort):
        return told(request, "No such file", f"There is none of this name. There are: {', '.join(OF_LEARNER)}.")
    return _csv(of_learner(row, name), f"learner-{row.pk}-{name}")


@require_safe
@allowed(Right.LEARN)
def own_file(request: HttpRequest, number: int, name: str) -> HttpResponse:
    """One file of a learner's own, as CSV."""
    row = Learner.objects.select_related("cohort").filter(pk=number, person=request.user).first()
    if row is None or name not in OF_LEARNER:
        return told(request, "No such file", "A learner sees their own files, and no one else's.")
    return _csv(of_learner(row, name), f"own-{row.pk}-{name}")


def _csv(text: str, name: str) -> HttpResponse:
    answer = HttpResponse(text.encode("utf-8"), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return answer
