"""The evaluator's sheet: every step to be marked in whatever order, a clock, a note, undo; no score; kept while the network is away.

A tablet keeps each tap as a mark of its own, with an id, and sends them all when the sheet is handed in. Without scripts the same
form is sent by the browser.
"""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods, require_POST

from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, act, new_key, sent
from drawndose.department.pages.lab.frame import NONE, asked, attempt_address, go, shown, told
from drawndose.department.people.roles import Right
from drawndose.department.training import attempts, days, drafts
from drawndose.department.training.as_lab import read_marks
from drawndose.department.training.forms import form_of
from drawndose.department.training.models import Evaluation
from drawndose.lab.attempts.marks import Mark, standing
from drawndose.lab.forms.form import Form
from drawndose.quantities import Fault, Refused


def _row(number: int) -> Evaluation | None:
    rows = Evaluation.objects.select_related(
        "evaluator", "attempt__learner__person", "attempt__station__day", "attempt__form"
    )
    return rows.filter(pk=number).first()


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH)
def sheet(request: HttpRequest, number: int) -> HttpResponse:
    """One evaluator's own sheet. POST: it is handed in."""
    row = _row(number)
    if row is None or row.evaluator_id != request.user.pk:
        return told(request, "No such sheet, or not yours", "Each evaluator opens their own sheets.")
    if row.state != "open":
        return go(request, attempt_address(row.attempt))
    if request.method != "POST":
        return _page(request, row)
    form = asked(request)
    outcome = act(lambda: _sent(request, row, form.fields, form.version, form.key), key=form.key)
    if not outcome.done:
        row.refresh_from_db()
        return _page(request, row, outcome)
    return go(request, attempt_address(row.attempt))


def _sent(request: HttpRequest, row: Evaluation, fields: dict[str, str], version: int, key: str) -> None:
    marks = _marks(row, fields)
    rating = fields.get("rating", "")
    ended = _ended(fields.get("ended", ""))
    note = fields.get("note", "")
    stars = int(rating) if rating.isascii() and rating.isdecimal() and len(rating) < 3 else None
    attempts.send(row, marks, by=request.user, version=version, ended=ended, rating=stars, note=note, key=key)


def _ended(text: str) -> datetime | None:
    if not text:
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or found.utcoffset() is None:
        accepted = "2026-03-02T13:05:00+00:00"
        raise Refused([Fault(field="ended", rule="a moment with its zone is wanted", came=text, accepted=accepted)])
    return found


def _marks(row: Evaluation, fields: dict[str, str]) -> tuple[Mark, ...]:
    """The marks of the tablet; without scripts those of the form's own fields."""
    text = fields.get("marks", "")
    if text:
        try:
            return read_marks(json.loads(text))
        except json.JSONDecodeError as error:
            raise Refused(
                [Fault(field="marks", rule="they cannot be read", came=str(error), accepted="a list")]
            ) from error
    found = []
    for step in form_of(row.attempt.form).shown:
        if point := fields.get(f"point-{step.id}", ""):
            said, note = f"prompt-{step.id}" in fields, fields.get(f"note-{step.id}", "")
            found.append(
                Mark(id=f"form-{row.pk}-{step.id}", step=step.id, point=point, at=now(), note=note, prompted=said)
            )
    return tuple(found)


def _page(request: HttpRequest, row: Evaluation, outcome: Outcome = NONE) -> HttpResponse:
    attempt, form = row.attempt, form_of(row.attempt.form)
    draft = drafts.kept(row)
    marks = draft.marks if draft is not None else []
    try:
        stands = standing(_marks(row, sent(request).fields) if request.method == "POST" else read_marks(marks))
    except Refused:
        stands = {}
    context = {
        "here": "lab",
        "row": row,
        "attempt": attempt,
        "card": attempt.card,
        "number": days.number_of(attempt.station, attempt.card),
        "day": attempt.station.day,
        "phases": _phases(form, stands),
        "count": len(form.shown),
        "marks": json.dumps(marks),
        "now": now().isoformat(),
        "started": attempt.started_at.isoformat(),
        "seconds": attempt.station.minutes * 60,
        "minutes": attempt.station.minutes,
        "form": form,
        "send_key": new_key(),
    }
    return shown(request, "sheet", context, outcome=outcome)


def _phases(form: Form, stands: dict[str, Mark]) -> list[dict[str, Any]]:
    """The steps in their order, under the phase that they are of."""
    found: list[dict[str, Any]] = []
    for place, step in enumerate(form.shown, start=1):
        if not found or found[-1]["name"] != step.phase.value:
            found.append({"name": step.phase.value, "steps": []})
        found[-1]["steps"].append({"number": place, "step": step, "points": _points(step, stands.get(step.id))})
    return found


def _points(step: Any, mark: Mark | None) -> list[dict[str, Any]]:
    return [
        {
            "word": one.word,
            "fails": one.fails and step.critical,
            "good": one.share == 1,
            "on": mark is not None and mark.point == one.word,
        }
        for one in step.scale.points
    ]


@require_POST
@allowed(Right.TEACH)
def draft(request: HttpRequest, number: int) -> HttpResponse:
    """Keep marks beside the tablet; nothing is handed in. 409 where the sheet is not open any more, 422 for what is no mark."""
    row = _row(number)
    try:
        marks = read_marks(json.loads(request.POST.get("marks", "[]")))
    except (Refused, json.JSONDecodeError):
        return HttpResponse(status=422)
    kept = drafts.keep(row, marks, by=request.user) if row is not None else None
    if kept is None:
        return HttpResponse(status=409 if row is not None else 404)
    return HttpResponse(status=204)
