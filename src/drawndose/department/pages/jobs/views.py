"""The pages of long work: what may be asked for, how far each piece is, its file, and taking it back. Each person's own, and no one else's."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.department.keeping import jobs as service
from drawndose.department.keeping.importing import MOST_BYTES, MOST_ROWS
from drawndose.department.keeping.jobs import KEPT, Status
from drawndose.department.keeping.lists import LISTS
from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed, not_yours
from drawndose.department.pages.acting import act, new_key, sent
from drawndose.department.pages.jobs import asking, lab_packs
from drawndose.department.pages.jobs.packs import PACKS, RIGHT
from drawndose.department.pages.label_sizes import paper_here
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.people.roles import Right, rights_of
from drawndose.department.training.models import Cohort
from drawndose.department.work.label_stock import PAPERS
from drawndose.department.work.places import local
from drawndose.quantities import Fault, Refused

OF_KIND = {"export": (Right.MOVE_DATA,), "import": (Right.MOVE_DATA,), "pack": (RIGHT,), "lab_pack": lab_packs.RIGHTS}
"""The rights of which it takes one to see a job and to fetch its file: who lost it since may not."""
WORDS = {
    "waiting": ("clock", "Waiting for a worker"),
    "running": ("list-checks", "Under way"),
    "done": ("check", "Done"),
    "failed": ("octagon-x", "Nothing was done"),
    "cancelled": ("info", "Cancelled"),
}
MOST_DAYS = 50
"""Days and classes of the lab to choose from, the newest first."""
PATIENCE_S = 20
"""After so many seconds without a worker the page says how one is started."""


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.MOVE_DATA, RIGHT, Right.TEACH)
def jobs(request: HttpRequest) -> HttpResponse:
    """Everything that may be asked for, and one's own work. POST: one of the forms, told apart by `do`."""
    held = rights_of(request.user.roles())
    outcome, form = None, sent(request)
    if request.method == "POST":
        do = form.fields.get("do", "")
        missing = asking.lacking(held, do, form.fields)
        if missing:
            return not_yours(request, missing)
        outcome = act(lambda: _submit(request, do, form.fields, form.key))
        if outcome.done:
            return HttpResponseRedirect(reverse("job", args=[outcome.value]))
    site = site_of(request)
    lists = asking.lists_for(held)
    context = {
        "here": "jobs",
        "outcome": outcome,
        "do": form.fields.get("do", ""),
        "typed": form.fields if outcome is not None else {},
        "key": new_key(),
        "moves": Right.MOVE_DATA in held,
        "packs": RIGHT in held and site is not None,
        "lists": [(name, LISTS[name].columns) for name in lists],
        "lab": _lab() if held & set(lab_packs.RIGHTS) else None,
        "papers": list(PAPERS),
        "on": {name: pack.on for name, pack in PACKS.items()},
        "paper": paper_here().name,
        "site": site,
        "most": {"rows": MOST_ROWS, "bytes": f"{MOST_BYTES // 1000} kB", "days": KEPT.days},
        "rows": [
            _row(one) | {"clock": _clock(one, site)}
            for one in service.statuses(request.user.username)
            if held & set(OF_KIND.get(one.kind, ()))
        ],
    }
    return page(request, "department/jobs.html", context, status=outcome.status if outcome is not None else 200)


def _lab() -> dict[str, Any]:
    """The days and classes of the lab that have papers."""
    return {"days": asking.lab_days()[:MOST_DAYS], "classes": Cohort.objects.order_by("-at", "-pk")[:MOST_DAYS]}


def _submit(request: HttpRequest, do: str, fields: dict[str, str], key: str) -> int:
    """Hand over what a form asks for; the same form once. Returned is the number of the job."""
    wanted = asking.read(request, do, fields)
    job = service.submit(wanted.kind, wanted.arguments, by=request.user.username, about=wanted.about, key=key)
    if job.by != request.user.username:  # a key out of another person's form
        raise Refused([Fault(field="page", rule="this form was sent before", came=key, accepted="a fresh page")])
    return int(job.pk)


def _row(one: Status) -> dict[str, Any]:
    icon, word = WORDS[one.state]
    lines = one.says.splitlines()
    return {
        "job": one,
        "icon": icon,
        "word": word,
        "says": lines[0] if lines else "",
        "lines": lines if one.state == "failed" else lines[1:],
        "faults": one.state == "failed",
        "idle": one.state == "waiting" and (now() - one.submitted_at).total_seconds() > PATIENCE_S,
    }


def _mine(request: HttpRequest, number: int) -> Status | None:
    """This person's job of this number, while they may still see what it is about."""
    one = service.status(number, by=request.user.username)
    may = one is not None and any(request.user.may(right) for right in OF_KIND.get(one.kind, ()))
    return one if may else None


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.MOVE_DATA, RIGHT, Right.TEACH)
def job(request: HttpRequest, number: int) -> HttpResponse:
    """How far one piece of work is; htmx asks for the part alone. POST: it is cancelled, while it has not ended."""
    one = _mine(request, number)
    if one is None:
        return _none(request)
    outcome = None
    if request.method == "POST":
        outcome = act(lambda: _cancel(request, number))
        if outcome.done:
            return HttpResponseRedirect(reverse("job", args=[number]))
        one = _mine(request, number) or one
    site = site_of(request)
    context = _row(one) | {
        "here": "jobs",
        "outcome": outcome,
        "key": new_key(),
        "clock": _clock(one, site),
        "live": getattr(request, "htmx", False),
    }
    if context["live"] and request.method != "POST":
        return render(request, "department/_job.html", context)
    return page(request, "department/job.html", context, status=outcome.status if outcome is not None else 200)


def _clock(one: Status, site: Any) -> dict[str, str]:
    """Its times, by the clock of the site."""
    moments = {"asked": one.submitted_at, "ended": one.ended_at, "until": one.until}
    shown = {name: local(site, moment) if site is not None else moment for name, moment in moments.items() if moment}
    return {name: f"{moment:%d %b %Y %H:%M}" for name, moment in shown.items()}


def _cancel(request: HttpRequest, number: int) -> None:
    if not service.cancel(number, by=request.user.username):
        raise Refused([Fault(field="job", rule="it has ended already", came="cancel", accepted="what came of it")])


@require_safe
@allowed(Right.MOVE_DATA, RIGHT, Right.TEACH)
def job_file(request: HttpRequest, number: int) -> HttpResponse:
    """The file that came of it, for who asked for it and still may."""
    found = service.fetch(number, by=request.user.username) if _mine(request, number) is not None else None
    if found is None:
        return _none(request)
    headers = {"Content-Disposition": f'attachment; filename="{found.name}"'}
    return HttpResponse(found.content, content_type=found.media_type, headers=headers)


def _none(request: HttpRequest) -> HttpResponse:
    words = f"There is no such work of yours, or nothing came of it. What came of work is kept {KEPT.days} days."
    return page(
        request, "department/told.html", {"title": "No such work, or not yours to see", "words": words}, status=404
    )
