"""A class: its board, its learners, and its list in CSV, typed or out of a file, tried first; a renamed learner is a question."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, act
from drawndose.department.pages.lab.frame import NONE, asked, go, shown, sits_in, today, told
from drawndose.department.pages.upload import chosen
from drawndose.department.people.roles import Right
from drawndose.department.training import class_list, cohort_data
from drawndose.department.training.models import Cohort
from drawndose.department.work.csv_list import decode

DRAFT = "lab-list"


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def cohort(request: HttpRequest, number: int) -> HttpResponse:
    """One class. POST: its list, tried (`try`) or read (`read`)."""
    row = Cohort.objects.filter(pk=number).first()
    if row is None or sits_in(request.user, row):
        return told(request, "No such class", f"There is no class {number} here, or you are a learner of it.")
    if request.method != "POST":
        return _page(request, row)
    form = asked(request)
    text = form.fields.get("list", "")
    most = class_list.MOST_BYTES
    if request.FILES or int(request.headers.get("Content-Length") or 0) > most:
        # A file takes the place of what stands in the box, and is tried, whatever button was pressed: nothing unseen is written.
        read = act(lambda: decode(chosen(request, most), most))
        return _tried(request, row, read.value) if read.done else _page(request, row, read, text)
    if form.fields.get("do") == "read":
        same = set(request.POST.getlist("same"))
        outcome = act(lambda: class_list.write(row, text, same=same, by=request.user, key=form.key), key=form.key)
        if outcome.done:
            return go(request, reverse("lab-cohort", args=[row.pk]), f"{DRAFT}-{row.pk}")
        return _page(request, row, outcome, text, class_list.looked(row, text)[0])
    return _tried(request, row, text)


def _tried(request: HttpRequest, row: Cohort, text: str) -> HttpResponse:
    lines, faults = class_list.looked(row, text)
    return _page(request, row, Outcome(done=not faults, faults=faults), text, lines)


def _page(
    request: HttpRequest, row: Cohort, outcome: Outcome = NONE, text: str = "", lines: tuple[Any, ...] | None = None
) -> HttpResponse:
    context = {
        "here": "lab",
        "row": row,
        "board": cohort_data.board_of(row, today(request)),
        "learners": row.learner_set.select_related("person").order_by("number"),
        "text": text,
        "lines": lines,
        "good": lines is not None and not outcome.faults,
        "asked": [one for one in lines or () if one.becomes == "renamed"],
        "most": {"rows": class_list.MOST_ROWS, "bytes": f"{class_list.MOST_BYTES // 1000} kB"},
        "ticked": request.POST.getlist("same"),
    }
    return shown(request, "cohort", context, outcome=outcome, draft=f"{DRAFT}-{row.pk}")
