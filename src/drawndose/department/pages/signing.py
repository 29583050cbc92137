"""Signing in, falling idle and coming back, signing off."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import quote

from django.conf import settings
from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from drawndose.department.ledger.storage import kind_of_records
from drawndose.department.pages import kept
from drawndose.department.pages.access import signed_in
from drawndose.department.pages.acting import Outcome, act
from drawndose.department.pages.device import address_of
from drawndose.department.pages.idle import veil_page, way_in
from drawndose.department.pages.page import page, places_of
from drawndose.department.pages.sites import site_of
from drawndose.department.people import signing, sittings
from drawndose.department.people.limits import limits, minutes
from drawndose.department.people.models import Person
from drawndose.department.people.signing import Locked

SLACK = 5
"""Seconds by which a tablet's own clock may run ahead of what it last told the server."""


@way_in
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """The sign-in page; a wrong name and a wrong password are not told apart, nor is a lock of either."""
    if kind_of_records() is None:
        words = "Nothing is kept here yet: this storage was not set up. The bench works without it."
        return page(request, "department/told.html", {"title": "Not set up", "words": words}, status=503)
    back, username = _back(request), signing.typed(request.POST.get("username", ""))
    outcome = None
    if request.method == "POST":
        password = request.POST.get("password", "")
        outcome, locked = _tried(lambda: signing.sign_in(username, password, address=address_of(request)))
        if outcome.done:
            return _welcome(request, outcome.value, back)
    status = 200 if outcome is None else 429 if locked else outcome.status
    rules = limits()
    context = {
        "next": back,
        "outcome": outcome,
        "locked": outcome is not None and locked,
        "username": username,
        "failures": rules.failures,
        "lock": minutes(rules.lock),
        "emergency": settings.CHOSEN.get("emergency_access"),
    }
    return page(request, "department/sign_in.html", context, status=status)


def _tried(do: Callable[[], object]) -> tuple[Outcome, bool]:
    """What came of a try to prove oneself, and whether it was not even looked at."""
    locked = False

    def tried() -> object:
        nonlocal locked
        try:
            return do()
        except Locked:
            locked = True
            raise

    return act(tried), locked


def _welcome(request: HttpRequest, person: Person, back: str) -> HttpResponse:
    """Begin the session: under a new key, with the one before ended, and to what was kept or asked for."""
    if request.user.is_authenticated:
        sittings.end(request.sitting, "another sign-in on the same device")
        logout(request)
    login(request, person)
    sittings.sweep()
    if person.must_change:
        return HttpResponseRedirect(reverse("me"))
    return HttpResponseRedirect(reverse("kept") if kept.kept_of(person) else back or home_of(person))


def home_of(person: Person) -> str:
    """Where this person begins: the first place that they may see, else their own page."""
    there = places_of(person)
    return reverse(there[0][0] if there else "me")


def _back(request: HttpRequest) -> str:
    """Where to go after it, on this host only; "" for nowhere in particular."""
    back = request.POST.get("next") or request.GET.get("next") or ""
    return back if url_has_allowed_host_and_scheme(back, allowed_hosts=None) else ""


@way_in
@require_http_methods(["GET", "HEAD", "POST"])
def back(request: HttpRequest) -> HttpResponse:
    """Lift the veil by PIN or password, to the same address. The veil that a script drew is answered without a page."""
    if (
        request.method != "POST"
    ):  # the address of a page that a wrong PIN brought, opened anew: by a lighting, or by hand
        return HttpResponseRedirect(home_of(request.user) if request.user.is_authenticated else reverse("sign-in"))
    quiet = request.headers.get("X-Veil") == "drawn"
    address = _back(request)
    if not request.user.is_authenticated:
        gone = f"{reverse('sign-in')}?next={quote(address)}"
        return HttpResponse(status=401, headers={"X-To": gone}) if quiet else HttpResponseRedirect(gone)
    sitting = request.sitting
    if not sittings.is_open(sitting):
        outcome, locked = _tried(lambda: _lift(request))
        if not outcome.done:
            sitting.refresh_from_db()
            return veil_page(request, address, outcome, 429 if locked else outcome.status)
    if quiet:
        return HttpResponse(status=204)
    return HttpResponseRedirect(reverse("kept") if kept.kept_of(request.user) else address or home_of(request.user))


def _lift(request: HttpRequest) -> None:
    if "pin" in request.POST:
        sittings.back_by_pin(request.sitting, request.POST["pin"].strip())
    else:
        password = request.POST.get("password", "")
        sittings.back_by_password(request.sitting, password, address=address_of(request))


@way_in
@require_POST
def idle(request: HttpRequest) -> HttpResponse:
    """A page says that nobody touched it for so long, or (acted) that someone types. Answers: veiled or not, and seconds left."""
    if not request.user.is_authenticated:
        return JsonResponse({"veiled": True, "left": 0}, status=401)
    sitting = request.sitting
    if request.POST.get("acted") == "yes":
        sittings.act(sitting)
    elif sittings.left(sitting).total_seconds() <= SLACK:
        sittings.veil(sitting)
    left = sittings.left(sitting)
    return JsonResponse({"veiled": not left, "left": -int(-left.total_seconds() // 1)})


@require_safe
@signed_in
def kept_page(request: HttpRequest) -> HttpResponse:
    """What came too late and was kept: to be sent now, or left."""
    found = kept.kept_of(request.user)
    if not found:
        return HttpResponseRedirect(home_of(request.user))
    site = site_of(request)
    return page(request, "department/kept.html", {"found": [kept.shown(one, site) for one in found]})


@require_POST
@signed_in
def leave(request: HttpRequest) -> HttpResponse:
    """Leave what was kept: it is forgotten (by the middleware, as when it is sent), and its page opened as it is."""
    return HttpResponseRedirect(_back(request) or home_of(request.user))


@way_in
@require_POST
def sign_off(request: HttpRequest) -> HttpResponse:
    """Sign off, and back to the sign-in page."""
    if request.user.is_authenticated:
        sittings.end(request.sitting, "by hand")
    logout(request)
    return HttpResponseRedirect(reverse("sign-in"))
