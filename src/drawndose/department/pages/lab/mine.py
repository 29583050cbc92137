"""The learner's own pages: every attempt of theirs, and one result to be read, signed and commented. Nobody else's."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, act
from drawndose.department.pages.lab.frame import NONE, asked, attempt_or_none, go, mine, shown, today, told
from drawndose.department.pages.lab.result import evidence_rows, reason_rows, steps_to_practise
from drawndose.department.people.roles import Right
from drawndose.department.training import deciding, signoffs
from drawndose.department.training.as_lab import decision_of
from drawndose.department.training.files import OF_LEARNER
from drawndose.department.training.forms import titles
from drawndose.department.training.models import Attempt, Decision, Learner, Remediation, SignOff
from drawndose.lab.deciding.decide import Outcome as Decided


@require_safe
@allowed(Right.LEARN)
def own(request: HttpRequest) -> HttpResponse:
    """What this learner tried and what came of it."""
    rows = (
        Attempt.objects.filter(learner__person=request.user)
        .exclude(state="broken off")
        .select_related("station__day", "form")
        .order_by("-started_at")
    )
    made = {one.attempt_id: one for one in Decision.objects.filter(attempt__in=rows, state="stands")}
    names, day = titles(), today(request)
    offs = SignOff.objects.filter(learner__person=request.user).exclude(state="replaced")
    context = {
        "here": "lab-mine",
        "files": Learner.objects.filter(person=request.user).select_related("cohort").order_by("-pk"),
        "tables": OF_LEARNER,
        "rows": [{"row": one, "title": names.get(one.skill, one.skill), "decision": made.get(one.pk)} for one in rows],
        "signed": [
            {"title": names.get(one.skill, one.skill), "row": one, "stands": signoffs.stands(one, day)}
            for one in offs.select_related("decision__attempt").order_by("-pk")
        ],
    }
    return shown(request, "mine", context)


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.LEARN)
def result(request: HttpRequest, number: int) -> HttpResponse:
    """One result of this learner. POST: it is signed, with a comment or none."""
    row = attempt_or_none(number)
    if row is None or not mine(request.user, row):
        return told(request, "No such result", "A learner sees their own results, and no one else's.")
    if request.method != "POST":
        return _page(request, row)
    form = asked(request)
    comment = form.fields.get("comment", "")
    outcome = act(
        lambda: deciding.sign(row, by=request.user, version=form.version, comment=comment, key=form.key), key=form.key
    )
    if not outcome.done:
        return _page(request, attempt_or_none(number) or row, outcome)
    return go(request, reverse("lab-result", args=[row.pk]), f"lab-result-{row.pk}")


def _page(request: HttpRequest, row: Attempt, outcome: Outcome = NONE) -> HttpResponse:
    stands = deciding.standing(row) if row.state in {"decided", "signed"} else None
    context: dict[str, Any] = {
        "here": "lab-mine",
        "row": row,
        "card": row.card,
        "day": row.station.day,
        "stands": stands,
        "passed": stands is not None and stands.outcome == Decided.PASSED.value,
        "reasons": reason_rows(decision_of(stands)) if stands is not None else (),
        "evidence": evidence_rows(row) if stands is not None else (),
        "practise": steps_to_practise(row) if stands is not None else (),
        "plan": Remediation.objects.filter(attempt=row).first(),
    }
    return shown(request, "result", context, outcome=outcome, draft=f"lab-result-{row.pk}")
