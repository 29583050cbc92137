"""One learner of a class, for evaluators and the manager: every attempt step by step, and whether they are here, left, or erased."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.bench.drawing import Figure
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Sent, act
from drawndose.department.pages.lab.frame import NONE, asked, go, shown, today, told
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.people.roster import only_learner
from drawndose.department.training import cohort, erasing
from drawndose.department.training.as_lab import decision_of
from drawndose.department.training.content import learner_file
from drawndose.department.training.files import OF_LEARNER
from drawndose.department.training.models import Decision, Learner
from drawndose.department.training.states import DECIDED
from drawndose.lab.cohort.pictures import line_of_learner
from drawndose.quantities import Fault, Refused


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def learner(request: HttpRequest, number: int) -> HttpResponse:
    """One learner. POST: linked to whom they sign in as, left, back, renamed, or erased."""
    row = Learner.objects.select_related("cohort", "person").filter(pk=number).first()
    if row is None or row.person_id == request.user.pk:
        return told(request, "No such learner", "There is none of this number, or it is you: see My training.")
    outcome = NONE
    if request.method == "POST":
        form = asked(request)
        outcome = act(lambda: _do(request, row, form), key=form.key)
        if outcome.done:
            return go(request, reverse("lab-learner", args=[row.pk]))
        row.refresh_from_db()
    context = {
        "here": "lab",
        "row": row,
        "file": learner_file(row),
        "figure": _line(row),
        "files": OF_LEARNER,
        "manages": request.user.may(Right.SET_POLICY),
        "staff": row.person is not None and not only_learner(row.person),
        "due": any(one.pk == row.pk for one in erasing.due(today(request))),
    }
    return shown(request, "learner", context, outcome=outcome)


def _line(row: Learner) -> Figure | None:
    """The learner's CUSUM over the attempts that were decided; None before there are any."""
    made = Decision.objects.filter(attempt__learner=row, attempt__state__in=DECIDED, state="stands").select_related(
        "attempt__learner__person", "attempt__form", "by", "supersedes"
    )
    found = [decision_of(one) for one in made]
    return line_of_learner(found, cohort.ident(row), "cusum", {cohort.ident(row): row.name}) if found else None


def _do(request: HttpRequest, row: Learner, form: Sent) -> None:
    do, fields = form.fields.get("do", ""), form.fields
    by: Person = request.user
    if do == "leave":
        cohort.leave(row, by=by, version=form.version, key=form.key)
    elif do == "back":
        cohort.back(row, by=by, version=form.version, key=form.key)
    elif do == "link":
        cohort.link(row, _person(fields.get("username", "")), by=by, version=form.version, key=form.key)
    elif do == "rename":
        name, why = fields.get("name", ""), fields.get("why", "")
        cohort.rename(row, name, by=by, version=form.version, reason=why, key=form.key)
    elif do == "erase":
        erasing.erase(row, by=by, version=form.version, reason=fields.get("reason", ""), key=form.key)
    else:
        raise Refused([Fault(field="page", rule="there is no such act", came=do, accepted="a button of this page")])


def _person(username: str) -> Person:
    found = Person.objects.filter(username=username.lower(), is_active=True).first()
    if found is None:
        rule = "nobody here signs in with this name"
        raise Refused([Fault(field="username", rule=rule, came=username, accepted="the name to sign in with")])
    return found
