"""What is shown instead of a page: no such page, a form that is not taken, a fault of ours, a storage that refuses. Each says what
became of what was sent, and offers a way on that fits who is looking: their first place when they are signed in, else the bench.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

from django.conf import settings
from django.core.exceptions import DisallowedHost, RequestDataTooBig
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import Resolver404, resolve, reverse

from drawndose.department.keeping.logs import REQUEST
from drawndose.department.keeping.troubles import told
from drawndose.department.pages.page import places_of
from drawndose.department.web.page import LIGHTS
from drawndose.department.web.views import light_of

Way = tuple[str, str]
"""An address and the words of its link."""
RECORDLESS = "drawndose.department.web."
GO_BACK = "Go back: what you typed may still stand there. Copy it, open the page anew, and send it again."


def form_too_old(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The form's guard did not fit: the server was started anew, someone signed in since, or cookies are off."""
    words = "It was opened before the pages were started anew or before someone signed in, or cookies are off. Nothing of it was done."
    return _instead(request, 403, "The form was not accepted", words, GO_BACK)


def not_taken(request: HttpRequest, exception: Exception) -> HttpResponse:
    """More than any form of ours holds (413), a name of this server that the settings do not know, or what no browser sends."""
    if isinstance(exception, RequestDataTooBig):
        words = f"It holds more than {settings.DATA_UPLOAD_MAX_MEMORY_SIZE:,} bytes, and no form here takes more. Nothing of it was done."
        return _instead(request, 413, "That was too much", words, "Go back, type less, and send it again.")
    if isinstance(exception, DisallowedHost):
        words = "The pages are not to be asked for under this name. Whoever runs them lists it in DRAWNDOSE_HOSTS."
        return _instead(request, 400, "Not under this name", words, "Use the address that you were given.")
    words = "It is not what a form of these pages sends. Nothing of it was done."
    return _instead(request, 400, "This was not accepted", words, GO_BACK)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """No page here."""
    return _instead(request, 404, "There is no such page", "The address leads nowhere here.", "")


def broken(request: HttpRequest) -> HttpResponse:
    """The storage or the disk refused, which is told as such; else a fault of ours."""
    says = told(sys.exc_info()[1])
    if says:
        emergency = settings.CHOSEN.get("emergency_access")
        do = f"Then open the page again.{f' Records in an emergency: {emergency}' if emergency else ''}"
        return _instead(request, 503, "The storage did not take it", says, do, again=True)
    if _keeps_nothing(request):
        words = "The fault is ours. No plan was made, and none on an older page should be followed for this order."
        return _instead(
            request,
            500,
            "The plan could not be worked out",
            words,
            f"Work it out by hand. Report the order and {_number()}",
        )
    words = "The fault is ours. Before you repeat anything, look at what it was about: the page there shows what is written."
    return _instead(request, 500, "The page could not be made", words, f"Report what you did and {_number()}")


def in_words(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """The middleware. An address that only takes a form, opened as a page, is told; Django would answer with an empty one."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if response.status_code != 405 or response.content or request.method != "GET":
            return response
        words = "This address only takes a form. Nothing was done."
        shown = _instead(request, 405, "There is nothing to see here", words, "")
        shown["Allow"] = response["Allow"]
        return shown

    return answer


def _number() -> str:
    """The number under which the log has this fault: by it whoever runs the pages finds what was not told here."""
    return f"this number, by which the fault is found in the log: {REQUEST.get()}"


def _keeps_nothing(request: HttpRequest) -> bool:
    """True for a page of the bench and its like, which keep no records."""
    try:
        return resolve(request.path).func.__module__.startswith(RECORDLESS)
    except Resolver404:
        return False


def _ways(request: HttpRequest, again: bool) -> list[Way]:
    """The ways on, the best first. A storage that refuses does not say who is looking."""
    ways = [(request.get_full_path(), "Try again")] if again and request.method == "GET" else []
    try:
        user = getattr(request, "user", None)
        places = places_of(user) if user is not None and user.is_authenticated else []
    except DatabaseError:
        places = []
    ways += [(reverse(name), f"Open {word}") for name, word in places[:1]]
    return ways if ways and not again else [*ways, (reverse("bench"), "Open the bench")]


def _instead(
    request: HttpRequest, status: int, title: str, words: str, do: str, *, again: bool = False
) -> HttpResponse:
    context = {"title": title, "words": words, "do": do, "light": light_of(request), "lights": LIGHTS}
    return render(request, "bench/plain.html", context | {"ways": _ways(request, again)}, status=status)
