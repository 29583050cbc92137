"""Idle sign-off: a tablet that lies about shows nothing. After so long without an act every page is veiled until the PIN.

An act is a page that is opened, or a form that is sent. A part that htmx fetches (GET) may be the page's own doing, such as a
board that renews itself: it is answered, and does not count. `static/department/idle.js` hides what is on the screen at the same
moment, and tells the server of typing. A form that comes too late is not carried out: what was typed is kept as a draft, and offered
again after the PIN. What is made to be left open, such as a wall screen, is shown on while nothing else is, when it was the last thing
that the person opened. The views of `department.web` keep no records, show none, and stay open.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import quote

from django.contrib.auth import logout
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from drawndose.department.pages import kept
from drawndose.department.pages.acting import Outcome
from drawndose.department.pages.page import page
from drawndose.department.people import sittings
from drawndose.department.people.models import Sitting

View = TypeVar("View", bound=Callable[..., HttpResponse])
RENEWED = "renewed"
"""In the address of a page that a browser without scripts renews by itself: that is no act either."""
RECORDLESS = "drawndose.department.web."


def way_in(view: View) -> View:
    """For the few pages that lead in and out: open while the session is veiled."""
    view.way_in = True  # type: ignore[attr-defined]
    return view


def own(view: View) -> View:
    """For the pages where a first password is changed: open before it is."""
    view.own = True  # type: ignore[attr-defined]
    return view


def left_open(asked: Callable[[HttpRequest], bool]) -> Callable[[View], View]:
    """For a page that may be left open, and only shows: asked says whether a request is for it in that way."""

    def mark(view: View) -> View:
        view.left_open = asked  # type: ignore[attr-defined]
        return view

    return mark


class IdleSignOff:
    """The middleware. It looks when the view is known, so after the guard against forged forms."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Nothing here: see process_view."""
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: View, args: Any, kwargs: Any) -> HttpResponse | None:
        """None lets the request through; else the answer in its place."""
        recordless = getattr(view, "__module__", "").startswith(RECORDLESS)
        try:
            return _looked(request, view, recordless) if request.user.is_authenticated else None
        except DatabaseError:
            if recordless:
                return None  # the bench works without a storage, also for a browser that still has a session's cookie
            raise


def _never(request: HttpRequest) -> bool:
    return False


def _looked(request: HttpRequest, view: View, recordless: bool) -> HttpResponse | None:
    request.sitting = sitting = sittings.sitting_of(request.session.session_key, request.user)
    way_in = getattr(view, "way_in", False)
    if sittings.over(sitting):
        return _ended(request, through=way_in or recordless)
    if way_in:
        return None
    looks = request.method in {"GET", "HEAD"}
    stays = looks and getattr(view, "left_open", _never)(request)
    renews = looks and (request.htmx or RENEWED in request.GET)
    awake = sittings.is_open(sitting) if renews else _act(sitting, stays=stays, looks=looks)
    if recordless:
        return None
    if not awake and not (stays and sitting.stays):
        return _veiled(request)
    if request.user.must_change and not getattr(view, "own", False):
        return HttpResponseRedirect(reverse("me"))
    kept.sent_again(request)
    return None


def _act(sitting: Sitting, *, stays: bool, looks: bool) -> bool:
    """Where the storage can only be read, or is full, a page still shows what is due: the idle time runs on from the last act written."""
    try:
        return sittings.act(sitting, stays=stays)
    except DatabaseError:
        if looks and sittings.left(sitting):
            return True
        raise


def _ended(request: HttpRequest, *, through: bool) -> HttpResponse | None:
    """The session is as old as it may be: signed off, and back here after the sign-in. A way in goes on, signed out."""
    sittings.end(request.sitting, "the session ended")
    path = request.get_full_path()
    if request.method == "POST" and not through:
        kept.keep(request, request.user)
        path = ""
    logout(request)
    del request.sitting
    return None if through else _go(request, f"{reverse('sign-in')}?next={quote(path)}")


def _go(request: HttpRequest, address: str) -> HttpResponse:
    """To an address; a part that htmx asked for takes the whole page along."""
    if request.htmx:
        return HttpResponse(headers={"HX-Redirect": address})
    return HttpResponseRedirect(address)


def _veiled(request: HttpRequest) -> HttpResponse:
    """The veil in place of the page. A page with scripts veils itself, so that what was typed stays in it."""
    if request.htmx:
        return HttpResponse(headers={"HX-Trigger": "veiled", "HX-Reswap": "none"})
    if request.method == "POST":
        kept.keep(request, request.user)
    back = request.get_full_path() if request.method in {"GET", "HEAD"} else reverse("kept")
    return veil_page(request, back)


def veil_page(request: HttpRequest, back: str, outcome: Outcome | None = None, status: int = 403) -> HttpResponse:
    """The veil, and the way back. It shows nothing of the page behind it, not even its places."""
    context = {"next": back, "outcome": outcome, "places": (), "veiled": True}
    return page(request, "department/veil.html", context, status=status)
