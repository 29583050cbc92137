"""The pages. Each answer is worked out anew from the form; nothing is kept between two requests but the lighting."""

from __future__ import annotations

import sys

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from drawndose.department.keeping.troubles import told
from drawndose.department.web import comparing
from drawndose.department.web.answering import answer, answer_form
from drawndose.department.web.asking import Asked
from drawndose.department.web.clock import clock_of
from drawndose.department.web.comparing import compare_page
from drawndose.department.web.eyes import eyes
from drawndose.department.web.page import LIGHTS, bench_page
from drawndose.department.web.parts import specimens
from drawndose.department.web.stocking import instruments_page, read_wanted
from drawndose.department.web.weighing import Typed
from drawndose.department.web.weighing import read_form as read_typed
from drawndose.department.web.weighing_page import weighing_page
from drawndose.reference import load

A_YEAR = 365 * 24 * 60 * 60


@require_http_methods(["GET", "HEAD", "POST"])
@vary_on_headers("HX-Request")
def bench(request: HttpRequest) -> HttpResponse:
    """The bench: the whole page, or its live parts when the page itself asks."""
    book = load()
    clock = clock_of(request)
    given = answer_form(request.POST, book, clock) if request.method == "POST" else answer(Asked(), book)
    light = light_of(request)
    live = request.method == "POST" and getattr(request, "htmx", False)
    context = bench_page(given, book, light) | {
        "live": bool(live),
        "clock": f"{clock:%H:%M}",
        "zone": str(clock.tzinfo),
    }
    return lit(request, render(request, "bench/live.html" if live else "bench/page.html", context))


@require_POST
def eye(request: HttpRequest) -> HttpResponse:
    """What the controls of one drawing show now: the page's own form is read, and the plan is made anew without being judged."""
    book = load()
    given = answer_form(request.POST, book)
    found = eyes(given.plan, given.asked.eyes, book) if given.plan is not None else {}
    return render(request, "bench/_eye_seen.html", {"eye": found.get(given.asked.eyes.get("for", ""))})


@require_safe
def instruments(request: HttpRequest) -> HttpResponse:
    """Which instrument may measure which volume, for a chosen limit; everything asked stands in the address."""
    context = instruments_page(read_wanted(request.GET), load()) | {"light": light_of(request), "lights": LIGHTS}
    return lit(request, render(request, "bench/instruments.html", context))


@require_safe
def compare(request: HttpRequest) -> HttpResponse:
    """One volume in several instruments, side by side; everything asked stands in the address."""
    context = compare_page(comparing.read_wanted(request.GET), load())
    context |= {"light": light_of(request), "lights": LIGHTS}
    return lit(request, render(request, "bench/compare.html", context))


@require_http_methods(["GET", "HEAD", "POST"])
def weighing(request: HttpRequest) -> HttpResponse:
    """What was really drawn, by the balance. Readings are no one's address: the form is sent, and nothing of it is kept."""
    length = int(request.headers.get("Content-Length") or 0)
    typed = read_typed(request.POST, request.FILES, length) if request.method == "POST" else Typed()
    context = weighing_page(typed, load()) | {"light": light_of(request), "lights": LIGHTS}
    return lit(request, render(request, "bench/weighing.html", context))


def lit(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """The answer, which keeps the lighting when it was chosen in this request."""
    if "light" in request.POST or "light" in request.GET:
        response.set_cookie("light", light_of(request), max_age=A_YEAR, samesite="Lax")
    return response


def light_of(request: HttpRequest) -> str:
    """The lighting that the person chose by hand: just now, or before."""
    known = {name for name, _, _ in LIGHTS}
    chosen = request.POST.get("light") or request.GET.get("light") or request.COOKIES.get("light", "")
    return chosen if chosen in known else "day"


@require_safe
def parts(request: HttpRequest) -> HttpResponse:
    """Every part of the pages in every state, to be looked at and tested."""
    context = {"light": light_of(request), "lights": LIGHTS, "specimens": specimens(load())}
    return render(request, "bench/parts.html", context)


def form_too_old(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The form's guard did not fit: the server was started anew, or cookies are off."""
    words = "This form was opened before the pages were started anew, or cookies are off."
    do = "Copy your order, open the bench again, and paste it."
    return _plain(request, 403, "The form was not accepted", words, do)


def too_much(request: HttpRequest, exception: Exception) -> HttpResponse:
    """More than a form of ours holds, or a name of this server that the settings do not know."""
    words = "It holds more than an order and a bench can, or the pages are not to be asked for under this name."
    return _plain(request, 400, "This was not accepted", words, "Open the bench, and type a shorter order.")


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """No page here."""
    return _plain(request, 404, "There is no such page", "The address leads nowhere here.", "Open the bench.")


def broken(request: HttpRequest) -> HttpResponse:
    """The storage or the disk refused, which is told as such; else a fault of ours."""
    says = told(sys.exc_info()[1])
    if says:
        emergency = settings.CHOSEN.get("emergency_access")
        do = f"Then open the page again.{f' Records in an emergency: {emergency}' if emergency else ''}"
        return _plain(request, 503, "The storage did not take it", says, do)
    words = "The fault is ours. No plan was made, and none on an older page should be followed for this order."
    return _plain(request, 500, "The plan could not be worked out", words, "Work it out by hand, and report the order.")


def _plain(request: HttpRequest, status: int, title: str, words: str, do: str) -> HttpResponse:
    context = {"title": title, "words": words, "do": do, "light": light_of(request), "lights": LIGHTS}
    return render(request, "bench/plain.html", context, status=status)
