"""The programme: classes, rule, forms, and who may prepare what today."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Sent, act
from drawndose.department.pages.lab.frame import NONE, asked, go, shown, today
from drawndose.department.people.roles import Right
from drawndose.department.training import cohort, erasing, forms, rules, signoffs
from drawndose.department.training.models import Cohort, LabDay, SignOff
from drawndose.quantities import Fault, Refused


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def programme(request: HttpRequest) -> HttpResponse:
    """Everything of it in one place. POST: a class is opened, or a form is taken up."""
    outcome = NONE
    if request.method == "POST":
        form = asked(request)
        outcome = act(lambda: _do(request, form), key=form.key)
        if outcome.done:
            return go(request, reverse("lab-programme"))
    context = {
        "here": "lab-programme" if request.user.may(Right.SET_POLICY) else "lab",
        "cohorts": Cohort.objects.order_by("-pk"),
        "days": LabDay.objects.select_related("cohort").order_by("-on", "-pk")[:20],
        "rule": rules.current(),
        "forms": forms.skills(),
        "who": [one for one in signoffs.who_may(today(request)) if not signoffs.stopped(one.row)],
        "over": erasing.due(today(request)) if request.user.may(Right.SET_POLICY) else (),
    }
    return shown(request, "programme", context, outcome=outcome)


def _do(request: HttpRequest, form: Sent) -> object:
    do, more = form.fields.get("do", ""), {"by": request.user, "key": form.key}
    if do == "cohort":
        return cohort.open_cohort(form.fields.get("name", ""), **more)
    if do.startswith("take-up "):
        return forms.take_up(do.removeprefix("take-up "), **more)
    raise Refused([Fault(field="page", rule="there is no such act", came=do, accepted="a button of this page")])


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def signed(request: HttpRequest) -> HttpResponse:
    """Who may prepare what today. POST: a sign-off is ended before its day, or a suspended one counts again (`resume`), with a reason."""
    outcome = NONE
    if request.method == "POST":
        form = asked(request)
        outcome = act(lambda: _end(request, form), key=form.key)
        if outcome.done:
            return go(request, reverse("lab-signed"))
    context = {
        "here": "lab",
        "who": signoffs.who_may(today(request)),
        "ended": signoffs.ended(),
        "today": today(request),
    }
    return shown(request, "signed", context, outcome=outcome)


def _end(request: HttpRequest, form: Sent) -> None:
    text = form.fields.get("sign_off", "")
    number = int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else 0
    row = SignOff.objects.select_related("learner").filter(pk=number).first()
    if row is None:
        raise Refused([Fault(field="sign-off", rule="there is none", came=text, accepted="one of the list")])
    act_on = signoffs.resume if form.fields.get("do") == "resume" else signoffs.end
    act_on(row, by=request.user, version=form.version, why=form.fields.get("why", ""), key=form.key)
