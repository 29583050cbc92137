"""The programme's form of a skill: its steps, weights, critical marks and choices edited in one page, every fault told together."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, Sent, act
from drawndose.department.pages.lab.frame import NONE, asked, go, shown, told
from drawndose.department.people.roles import Right
from drawndose.department.training import forms
from drawndose.department.training.models import Attempt, FormVersion
from drawndose.lab.forms.edited import changes
from drawndose.lab.forms.form import Form, Phase, form_data
from drawndose.lab.forms.reading import read_form
from drawndose.lab.forms.scale import Scale

NEW = "new"
"""In the boxes of a step that is added."""


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def form(request: HttpRequest, skill: str) -> HttpResponse:
    """The form in use. POST: an edit of it, looked at (`look`) or kept (`keep`)."""
    row = FormVersion.objects.filter(skill=skill, state="in use").first()
    if row is None:
        return told(request, "No such form", "The programme has taken up no form of this skill.")
    old = forms.form_of(row)
    if request.method != "POST":
        return _page(request, row, form_data(old))
    typed = asked(request)
    data = edited(old, typed)
    outcome = act(lambda: read_form(data))
    found = changes(old, outcome.value) if outcome.done else ()
    if outcome.done and typed.fields.get("do") == "keep":
        draft: Form = outcome.value
        outcome = act(
            lambda: forms.revise(row, draft, by=request.user, version=typed.version, key=typed.key), key=typed.key
        )
        if outcome.done:
            return go(request, reverse("lab-form", args=[skill]), f"lab-form-{row.skill}")
    return _page(request, row, data, outcome, found)


def edited(old: Form, typed: Sent) -> dict[str, Any]:
    """The form as data with what the boxes say: steps in the order of their numbers, without those that are taken out."""
    fields, data = typed.fields, dict(form_data(old))
    data["title"], data["minutes"] = fields.get("title", ""), _whole(fields.get("minutes", ""))
    data["choice"] = [one | {"chosen": fields.get(f"choice-{one['id']}", "")} for one in data["choice"]]  # type: ignore[attr-defined]
    steps = []
    for place, step in enumerate(data["step"], start=1):  # type: ignore[arg-type]
        if f"out-{step['id']}" not in fields:
            steps.append(
                (_order(fields.get(f"order-{step['id']}", ""), place), place, step | _step(fields, step["id"]))
            )
    if fields.get(f"says-{NEW}"):
        plain = {"id": fields.get(f"id-{NEW}", ""), "only": [], "source": [], "rules": [], "how": "the programme's own"}
        plain = {name: value for name, value in plain.items() if name in (data["step"][0] if data["step"] else plain)}  # type: ignore[index]
        phase = {"phase": fields.get(f"phase-{NEW}", "")}
        steps.append((_order(fields.get(f"order-{NEW}", ""), 999), 999, plain | phase | _step(fields, NEW)))
    data["step"] = [step for _, _, step in sorted(steps, key=lambda one: one[:2])]
    return data


def _step(fields: dict[str, str], ident: str) -> dict[str, Any]:
    return {
        "says": fields.get(f"says-{ident}", ""),
        "failure": fields.get(f"failure-{ident}", ""),
        "critical": f"critical-{ident}" in fields,
        "weight": _whole(fields.get(f"weight-{ident}", "")),
        "scale": fields.get(f"scale-{ident}", ""),
        "prompt": fields.get(f"prompt-{ident}", ""),
    }


def _whole(text: str) -> object:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else text


def _order(text: str, place: int) -> int:
    number = _whole(text)
    return number if isinstance(number, int) else place


def _page(
    request: HttpRequest,
    row: FormVersion,
    data: dict[str, Any],
    outcome: Outcome = NONE,
    found: tuple[str, ...] = (),
) -> HttpResponse:
    context = {
        "here": "lab",
        "row": row,
        "data": data,
        "steps": list(enumerate(data["step"], start=1)),
        "scales": [one.value for one in Scale],
        "phases": [one.value for one in Phase],
        "changes": found,
        "looked": bool(found) and outcome.done,
        "used": Attempt.objects.filter(form=row).count(),
        "versions": FormVersion.objects.filter(skill=row.skill).select_related("by").order_by("-pk"),
    }
    return shown(request, "form", context, outcome=outcome, draft=f"lab-form-{row.skill}")
