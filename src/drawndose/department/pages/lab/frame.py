"""What the lab's pages share: which zone a day is told in, drawing a page with its draft, going on after an act."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from drawndose.department.ledger.append import now
from drawndose.department.pages.acting import Outcome, Sent, new_key, sent
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training.models import Attempt, Cohort, Learner
from drawndose.department.work import drafts
from drawndose.department.work.models import Site
from drawndose.department.work.places import local

NONE = Outcome(done=True)


@dataclass(frozen=True, slots=True)
class Place:
    """A zone, told in as a site's is."""

    zone: str


def place_of(request: HttpRequest) -> Site | Place:
    """The site of this session; UTC where there is none."""
    return site_of(request) or Place("UTC")


def today(request: HttpRequest) -> date:
    """The day by the clock of this place."""
    return local(place_of(request), now()).date()  # type: ignore[arg-type]


def shown(
    request: HttpRequest,
    name: str,
    context: dict[str, Any],
    *,
    outcome: Outcome = NONE,
    draft: str = "",
    status: int | None = None,
) -> HttpResponse:
    """A page of the lab. draft: what its form is kept under; what was refused comes first, and everything typed stays."""
    kept = drafts.kept(request.user, draft) if draft else None
    back = request.GET.get("kept") == "1"
    fresh = kept is not None and not back and request.method != "POST"
    shared = {
        "place": place_of(request),
        "key": new_key(),
        "outcome": outcome,
        "draft": draft,
        "own_address": request.path,
        "kept_at": f"{local(place_of(request), kept.saved_at):%H:%M}" if kept is not None and fresh else "",  # type: ignore[arg-type]
        "typed": typed_in(request, draft),
    }
    if context.get("here") == "lab" and not request.user.may(Right.TEACH):
        context = context | {"here": "lab-programme"}
    code = status or outcome.status
    return page(request, f"department/lab/{name}.html", shared | context, status=code)


def typed_in(request: HttpRequest, draft: str) -> dict[str, str]:
    """What stands in the boxes: what was just sent, or what was kept and is asked back."""
    if request.method == "POST":
        return sent(request).fields
    kept = drafts.kept(request.user, draft) if draft and request.GET.get("kept") == "1" else None
    return dict(kept.content) if kept is not None else {}


def asked(request: HttpRequest) -> Sent:
    """The form that was sent. One page has several buttons: each is an act of its own, so its name belongs to the key."""
    form = sent(request)
    return replace(form, key=f"{form.key[:44]}:{form.fields.get('do', '').partition(' ')[0]}"[:64])


def go(request: HttpRequest, to: str, draft: str = "") -> HttpResponse:
    """On to another page; what was kept of the form is let go."""
    if draft:
        drafts.let_go(request.user, draft)
    if getattr(request, "htmx", False):
        return HttpResponse(headers={"HX-Redirect": to})
    return HttpResponse(status=302, headers={"Location": to})


def told(request: HttpRequest, title: str, words: str, status: int = 404) -> HttpResponse:
    """A page that says one thing."""
    return page(request, "department/told.html", {"title": title, "words": words}, status=status)


def attempt_or_none(number: int) -> Attempt | None:
    """An attempt with everything around it."""
    rows = Attempt.objects.select_related(
        "learner__cohort", "learner__person", "station__day__rule", "station__day__cohort", "form", "signed_by"
    )
    return rows.filter(pk=number).first()


def attempt_address(attempt: Attempt) -> str:
    """Where an attempt is looked at."""
    return reverse("lab-attempt", args=[attempt.pk])


def mine(person: Person, attempt: Attempt) -> bool:
    """True for the learner of this attempt."""
    return attempt.learner.person_id == person.pk


def sits_in(person: Person, cohort: Cohort) -> bool:
    """True for a learner of this class: whoever they are besides, its records are for others to look at."""
    return Learner.objects.filter(cohort=cohort, person=person).exists()
